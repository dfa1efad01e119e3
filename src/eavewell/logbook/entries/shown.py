"""What stands in a log, and what was just written, as a page."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from types import MappingProxyType

from eavewell.answers.shown import Sizes, day
from eavewell.faults import BadLog
from eavewell.logbook.entries.doubts import span_words
from eavewell.logbook.entries.taken_down import TakenDown
from eavewell.logbook.kept import Kind
from eavewell.logbook.readings.figures import in_usual_unit
from eavewell.logbook.readings.gauges import gauges_of
from eavewell.logbook.readings.midnights import zone_of
from eavewell.logbook.store.documents import instant_of, kind_of
from eavewell.report.blocks import Block, one_line, paragraph, ruled
from eavewell.site.entry import Done, Entry, Load, Note, Outage, Reading, Tested
from eavewell.site.site import Site
from eavewell.tables import rows
from eavewell.units import quantities, show

_LONGEST = 18
# the letter before the number by which an entry is corrected
LETTERS: Mapping[Kind, str] = MappingProxyType(
    {"reading": "r", "load": "l", "done": "d", "outage": "o", "tested": "t", "note": "n"}
)


def numbered(kind: Kind, key: int) -> str:
    """The number of an entry as a person writes it, such as r12."""
    return f"{LETTERS[kind]}{key}"


def number_meant(text: str) -> tuple[Kind, int]:
    """The kind and key of a number such as r12; BadLog for what is none."""
    said = text.strip().lower()
    kind = next((one for one, letter in LETTERS.items() if said[:1] == letter), None)
    if kind is None or not said[1:].isdecimal() or len(said) > _LONGEST:
        raise BadLog(f"'{text}' is no number of the log such as r12: 'eavewell log show' has them.")
    return kind, int(said[1:])


@dataclass(frozen=True, slots=True)
class Words:
    """Entries of a site in words: its sizes, its clock.

    here : True tells the times of a site that names no time zone by this computer's clock, not by
    the one that an instant came by.
    """

    site: Site
    here: bool = False

    @property
    def sizes(self) -> Sizes:
        """Prints sizes as the site shows them."""
        return Sizes(self.site.place.show)

    def when(self, at: datetime, *, clock: bool = True) -> str:
        """An instant by the site's clock, such as 4 Mar 2027 7:30; else by the clock it came by."""
        named = self.site.log.zone
        zone = zone_of(named) if named else None if self.here else at.tzinfo
        local = at.astimezone(zone)
        time = f" {local.hour}:{local.minute:02d}" if clock else ""
        return day(local.date().isoformat()) + time

    def figure(self, reading: Reading) -> str:
        """The figure of a reading as it was said."""
        if reading.said and not reading.said.replace(".", "").replace(",", "").isdecimal():
            return reading.said
        gauge = next((one for one in gauges_of(self.site) if one.name == reading.gauge), None)
        return (
            reading.said
            if gauge is None
            else in_usual_unit(gauge, reading.value, show=self.site.place.show)
        )

    def of(self, entry: Entry) -> tuple[str, str]:
        """What an entry is about, and what it says."""
        if isinstance(entry, Reading):
            return entry.gauge, self.figure(entry)
        if isinstance(entry, Load):
            came = "" if entry.came else "ordered, "
            return f"load to {entry.to}", came + self.sizes.volume(entry.volume_l)
        if isinstance(entry, Done):
            put_off = "" if entry.until is None else self.when(entry.until, clock=False)
            said = f"put off to {put_off}" if put_off else entry.found or "done"
            return f"{entry.task}{f', {entry.thing}' if entry.thing else ''}", said
        if isinstance(entry, Outage):
            ended = "still" if entry.ended is None else f"to {self.when(entry.ended)}"
            return f"{entry.of} out", ended
        return self._of_test(entry) if isinstance(entry, Tested) else _of_note(entry)

    def _of_test(self, entry: Tested) -> tuple[str, str]:
        test = entry.test
        quantity = next(row["quantity"] for row in rows("water_tests") if row["of"] == test.of)
        value = f"{test.value:g}"
        if quantity in quantities():
            value = show(test.value, quantity, system=self.site.place.show)
        return test.of, f"{'< ' if test.below else ''}{value}"


def _of_note(entry: Note) -> tuple[str, str]:
    return entry.about or "note", entry.says


def taken_page(site: Site, taken: TakenDown) -> list[Block]:
    """What was written, what was there before, and what is doubted."""
    words, reading = Words(site), taken.reading
    held = "" if taken.held_l is None else f", {held_words(words, taken.held_l)}"
    again = " It was in the log already." if taken.already else ""
    said = f"{reading.gauge}: {words.figure(reading)}, {words.when(reading.at)}{held}.{again}"
    lines: list[Block] = [paragraph(said)]
    if taken.before is not None:
        before = taken.before
        said = f"Before: {words.figure(before)}, {words.when(before.at)}."
        lines.append(paragraph(said, _change(words, taken, before=before)))
    if taken.doubts:
        number = numbered("reading", taken.key)
        lines.append(
            paragraph(
                *taken.doubts,
                "It is written as questioned; to put it right: "
                f'eavewell log correct {number} "..." --why "...".',
            )
        )
    return lines


def _change(words: Words, taken: TakenDown, *, before: Reading) -> str:
    """What came or went since."""
    if taken.change_l is None:
        return ""
    amount = words.sizes.volume(abs(taken.change_l))
    since = span_words((taken.reading.at - before.at).total_seconds())
    return f"{amount} {'more' if taken.change_l > 0.0 else 'less'} in {since}."


def held_words(words: Words, held_l: float) -> str:
    """What a tank holds, in words."""
    if held_l < 0.0:
        return "in the dead storage"
    return f"{words.sizes.volume(held_l)} above the dead storage"


def entries_page(site: Site, entries: Iterable[tuple[int, Entry]]) -> list[Block]:
    """A table of entries, the newest first."""
    words = Words(site)
    found = sorted(entries, key=lambda one: (instant_of(one[1]), one[0]), reverse=True)
    if not found:
        return [one_line("Nothing is in the log yet.")]
    lines = [_row(words, key, entry=entry) for key, entry in found]
    notes = [str(getattr(entry, "note", "")) for _, entry in found]
    return [
        ruled(("Number", "When", "What", "Said", "By"), lines, names=(0, 1, 2, 3, 4), notes=notes)
    ]


def _row(words: Words, key: int, *, entry: Entry) -> Sequence[str]:
    who = getattr(entry, "who", "")
    return (
        numbered(kind_of(entry), key),
        words.when(instant_of(entry)),
        *words.of(entry),
        who or (entry.how if isinstance(entry, Reading) else ""),
    )
