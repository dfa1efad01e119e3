"""A reading as a form says it: written and questioned at once, or put right when questioned."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from eavewell.faults import BadLog
from eavewell.logbook.entries.asked import with_unit
from eavewell.logbook.entries.doubts import doubts_of
from eavewell.logbook.entries.said import Saying, gauge_said, put_right_said, words_of
from eavewell.logbook.entries.shown import Words, held_words
from eavewell.logbook.entries.taken_down import Said, TakenDown, before_of, take_down
from eavewell.logbook.entries.typed import questioned
from eavewell.logbook.store.store import Store
from eavewell.site.entry import Reading
from eavewell.site.site import Site

MENDED = "Questioned when it was read."


@dataclass(frozen=True, slots=True)
class Entered:
    """A reading that stands in the log.

    says : what was done, and what the tank holds by it. doubts : what is asked about it. key : by
    which it is put right.
    """

    reading: Reading
    says: str
    doubts: tuple[str, ...]
    key: int


def enter(site: Site, store: Store, *, words: Mapping[str, str], now: datetime) -> Entered:
    """Write the reading that the boxes of a form tell (`asked.ASKED`).

    Raises BadLog or BadQuantity where nothing was written.
    """
    said = Saying(site, words, now)
    gauge = gauge_said(site, said["gauge"])
    if not said["said"]:
        raise BadLog("Write what the gauge says.")
    taken = take_down(
        site,
        store,
        gauge=gauge,
        text=with_unit(gauge, said["said"], show=site.place.show),
        at=said.at("at"),
        said=Said(now, said["who"], said["note"]),
    )
    return Entered(taken.reading, _says(site, taken), taken.doubts, taken.key)


def _says(site: Site, taken: TakenDown) -> str:
    words = Words(site, here=True)
    held = "" if taken.held_l is None else f", {held_words(words, taken.held_l)}"
    done = "In the log already" if taken.already else "Written"
    return f"{done}: {words.figure(taken.reading)}{held}."


def mend(site: Site, store: Store, *, key: int, text: str, who: str, now: datetime) -> Entered:
    """Put a reading right that was questioned; what it said before is kept.

    Raises BadLog or BadQuantity where nothing was changed.
    """
    was = reading_at(store, key)
    right = put_right_said(site, was, words=words_of(site, was) | {"said": text}, now=now)
    assert isinstance(right, Reading)
    gauge = gauge_said(site, right.gauge)
    before = before_of(store, gauge, at=right.at)
    doubts = doubts_of(site, right, gauge=gauge, before=before, now=now, kept=store)
    right = questioned(right, doubts)
    store.correct(key, right, why=MENDED, who=who, now=now)
    says = f"Mended: {Words(site, here=True).figure(right)}; what stood there is kept."
    return Entered(right, says, doubts, key)


def reading_at(store: Store, key: int) -> Reading:
    """The reading of that key; BadLog where there is none."""
    entry = store.entry("reading", key)
    assert isinstance(entry, Reading)
    return entry
