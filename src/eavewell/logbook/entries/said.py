"""An entry of any kind from the words in its boxes, and the words of an entry that stands."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo
from types import MappingProxyType
from typing import Any

from eavewell.faults import BadLog, EavewellFault, Fault
from eavewell.files.site.field_values import near
from eavewell.files.site.water import result_of
from eavewell.logbook.entries.asked import ASKED, NOW, choices_of, with_unit
from eavewell.logbook.entries.shown import Words
from eavewell.logbook.entries.typed import is_bare, reading_of
from eavewell.logbook.entries.when import instant_said
from eavewell.logbook.kept import Kind
from eavewell.logbook.readings.gauges import gauges_of
from eavewell.logbook.readings.midnights import zone_of
from eavewell.logbook.store.documents import kind_of
from eavewell.logbook.store.store import Store
from eavewell.site.entry import Done, Entry, Load, Note, Outage, Reading, Tested
from eavewell.site.gauge import Gauge
from eavewell.site.site import Site
from eavewell.site.water import WaterTest
from eavewell.units import read

# between day and hour, as browsers write instants
_T = r"(?<=[0-9]{2})T(?=[0-9]{2}:)"
_NOON, _MIDNIGHT = 12.0, 0.0
_VOLUME = {"us": "gal", "metric": "L"}


@dataclass(frozen=True, slots=True)
class Saying:
    """Words in the boxes of one entry, said of a site at a moment."""

    site: Site
    words: Mapping[str, str]
    now: datetime

    def __getitem__(self, name: str) -> str:
        return self.words.get(name, "").strip()

    @property
    def by(self) -> dict[str, str]:
        """By whom, and what else."""
        return {"who": self["who"], "note": self["note"]}

    def at(self, name: str, *, hour: float | None = None) -> datetime:
        """The instant in a box; now where it is empty."""
        usual = self.site.log.readings_at if hour is None else hour
        return instant_said(self[name], now=self.now, zone=zone(self.site), hour=usual)

    def at_if_any(self, name: str, *, hour: float | None = None) -> datetime | None:
        """The same; None where the box is empty."""
        return self.at(name, hour=hour) if self[name] else None


def zone(site: Site) -> tzinfo | None:
    """The clock that is meant; None for that of this computer."""
    return zone_of(site.log.zone) if site.log.zone else None


def entry_said(site: Site, kind: Kind, *, words: Mapping[str, str], now: datetime) -> Entry:
    """The entry that the words in its boxes tell (`asked.ASKED`).

    A bare figure has the gauge's unit, else the usual one of the site.
    Raises BadLog or BadQuantity in sentences.
    """
    said = Saying(site, words, now)
    empty = [one.label for one in ASKED[kind].boxes if one.needed and not said[one.name]]
    if empty:
        raise BadLog(f"Left empty, and needed: {', '.join(empty)}.")
    return _MADE[kind](said)


def gauge_said(site: Site, name: str) -> Gauge:
    """The gauge of that name; BadLog where the site has none."""
    found = {one.name: one for one in gauges_of(site)}
    if name not in found:
        raise BadLog(f"There is no gauge '{name}': {near(name, tuple(found))}")
    return found[name]


def _reading(said: Saying) -> Reading:
    gauge = gauge_said(said.site, said["gauge"])
    text = with_unit(gauge, said["said"], show=said.site.place.show)
    return reading_of(gauge, text, at=said.at("at"), **said.by)


def _load(said: Saying) -> Load:
    tanks = choices_of(said.site)["tanks"]
    if said["to"] not in tanks:
        raise BadLog(f"There is no tank '{said['to']}': {near(said['to'], tanks)}")
    came = None if said["not_yet"] else said.at("came", hour=_NOON)
    ordered = said.at_if_any("ordered", hour=_NOON)
    volume = said["volume"]
    if is_bare(volume):
        volume = f"{volume} {_VOLUME[said.site.place.show]}"
    return Load(
        said["to"],
        ordered=said.at("ordered", hour=_NOON) if came is None else ordered,
        came=came,
        volume_l=read(volume, "volume"),
        price=_number(said["price"]) if said["price"] else None,
        paper=said["paper"],
        chlorine_mg_l=_chlorine(said["chlorine"]) if said["chlorine"] else None,
        **said.by,
    )


def _number(text: str) -> float:
    if not is_bare(text):
        raise BadLog(f"'{text}' is no price: write a bare number, such as 250.")
    return float(text.replace(",", ""))


def _chlorine(text: str) -> float:
    return read(f"{text} mg/L" if is_bare(text) else text, "concentration")


def _done(said: Saying) -> Done:
    until = said.at_if_any("until", hour=_MIDNIGHT)
    return Done(said["task"], said.at("at"), said["thing"], until, found=said["found"], **said.by)


def _tested(said: Saying) -> Tested:
    known = choices_of(said.site)["tests"]
    if said["of"] not in known:
        raise BadLog(f"There is no water test '{said['of']}': {near(said['of'], known)}")
    value, below = result_of(said["found"], said["of"])
    at = said.at("at")
    test = WaterTest(said["of"], value, at.date(), below, said["tap"], said["laboratory"])
    return Tested(at, test, **said.by)


def _outage(said: Saying) -> Outage:
    began, ended = said.at("began"), said.at_if_any("ended")
    if ended is not None and ended <= began:
        raise BadLog(
            f"It was back ({said['ended']}) before it went out ({said['began'] or 'now'})."
        )
    return Outage(said["of"], began, ended, **said.by)


def _note(said: Saying) -> Note:
    return Note(said.at("at"), said["says"], said["about"], said["who"])


_MADE: Mapping[Kind, Callable[[Saying], Entry]] = MappingProxyType(
    {
        "reading": _reading,
        "load": _load,
        "done": _done,
        "outage": _outage,
        "tested": _tested,
        "note": _note,
    }
)


def words_of(site: Site, entry: Entry) -> dict[str, str]:
    """What stands in the boxes of an entry, such as would make it again."""
    told: dict[str, str] = {}
    for box in ASKED[kind_of(entry)].boxes:
        told[box.name] = _word(site, entry, name=box.name)
    return told


def _word(site: Site, entry: Entry, *, name: str) -> str:
    words = Words(site, here=True)
    if isinstance(entry, Tested) and name in ("of", "found", "tap", "laboratory"):
        return words.of(entry)[1] if name == "found" else str(getattr(entry.test, name))
    if isinstance(entry, Load) and name in ("volume", "chlorine", "not_yet"):
        return _of_load(words, entry)[name]
    if isinstance(entry, Reading) and name == "said":
        return words.figure(entry)
    value = getattr(entry, name)
    return _stamp(site, value) if isinstance(value, datetime) else _plain(value)


def _of_load(words: Words, load: Load) -> dict[str, str]:
    chlorine = load.chlorine_mg_l
    return {
        "volume": words.sizes.volume(load.volume_l),
        "chlorine": "" if chlorine is None else f"{chlorine:g} mg/L",
        "not_yet": "" if load.came else "yes",
    }


def _plain(value: object) -> str:
    return "" if value is None else f"{value:g}" if isinstance(value, float) else str(value)


def _stamp(site: Site, at: datetime) -> str:
    """An instant by the site's clock, else by this computer's."""
    return f"{at.astimezone(zone(site)):%Y-%m-%d %H:%M}"


def put_right_said(site: Site, was: Entry, *, words: Mapping[str, str], now: datetime) -> Entry:
    """An entry as it is said now; what stands in a box as it did stays to the last figure.

    Raises BadLog where nothing is said otherwise, and as `entry_said`.
    """
    stood = words_of(site, was)
    told = {name: re.sub(_T, " ", words.get(name, "").strip()) for name in stood}
    for box in ASKED[kind_of(was)].boxes:  # an instant that is left out is not now
        told[box.name] = told[box.name] or (stood[box.name] if box.hint == NOW else "")
    changed = {name for name in stood if told[name] != stood[name].strip()}
    if not changed:
        raise BadLog("Nothing in it says otherwise: change what is wrong, or strike it out.")
    if isinstance(was, Reading) and changed & {"said", "gauge"} and "note" not in changed:
        told["note"] = ""  # what was questioned there is mended
    right = entry_said(site, kind_of(was), words=told, now=now)
    return _with_what_stays(right, was, changed=changed)


def _with_what_stays(right: Entry, was: Entry, *, changed: set[str]) -> Entry:
    same: dict[str, Any] = {
        name: getattr(was, name)
        for name in ("at", "came", "ordered", "began", "ended", "until")
        if name not in changed and hasattr(was, name) and "not_yet" not in changed
    }
    if isinstance(was, Reading) and not changed & {"said", "gauge"}:
        same |= {"value": was.value, "said": was.said, "how": was.how}
    if isinstance(was, Load) and "volume" not in changed:
        same["volume_l"] = was.volume_l
    if isinstance(was, Tested) and isinstance(right, Tested) and not changed & {"of", "found"}:
        same["test"] = replace(right.test, value=was.test.value, below=was.test.below)
    return replace(right, **same)


def back_now(store: Store, key: int, *, now: datetime, who: str = "") -> None:
    """End an outage that lasts; BadLog where it is over already, or began later."""
    was = store.entry("outage", key)
    assert isinstance(was, Outage)
    if was.ended is not None:
        raise BadLog(f"{was.of} is back already.")
    if was.began >= now:
        raise BadLog(f"{was.of} goes out only later: correct that first.")
    store.correct(key, replace(was, ended=now), why="It is back.", who=who, now=now)


def says_of(refused: EavewellFault) -> str:
    """The sentences of what was refused, in one."""
    faults: tuple[Fault, ...] = refused.faults
    return " ".join(one.says for one in faults)
