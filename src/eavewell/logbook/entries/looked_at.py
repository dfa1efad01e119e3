"""Many entries said at once, each looked at before any is written: read, questioned, refused."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Literal

import numpy as np

from eavewell.faults import EavewellFault
from eavewell.logbook.entries.doubts import doubts_alone
from eavewell.logbook.entries.said import entry_said, says_of
from eavewell.logbook.entries.typed import questioned
from eavewell.logbook.kept import Kept, Kind, ManyReadings
from eavewell.logbook.readings.figures import in_usual_unit
from eavewell.logbook.readings.gauges import gauges_of
from eavewell.logbook.readings.midnights import stamp_of
from eavewell.logbook.readings.plausible import questions_on
from eavewell.logbook.store.arriving import Added
from eavewell.logbook.store.documents import digest_of, instant_of
from eavewell.logbook.store.store import Store
from eavewell.site.entry import Entry, Reading
from eavewell.site.site import Site

_INSTANT = timedelta(milliseconds=1)
# how a question on a reading of a file begins
_STAMPED = re.compile(r"^.* at [0-9]{4}-[0-9]{2}-[0-9]{2} [0-9]{2}:[0-9]{2}(?: UTC)? ")
State = Literal["new", "there", "differs", "refused"]


@dataclass(frozen=True, slots=True)
class Line:
    """One entry in words. name : by which it is told apart, such as "line 7"."""

    name: str
    kind: Kind
    words: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Looked:
    """A line that was looked at.

    entry : None where it is refused. state : new, there already, differing from what stands at
    its instant, or refused. says : why, or what stands. doubts : sentences on what is hardly true.
    """

    line: Line
    entry: Entry | None
    state: State
    says: str = ""
    doubts: tuple[str, ...] = ()


def looked_at(
    site: Site, kept: Kept, *, lines: Sequence[Line], now: datetime
) -> tuple[Looked, ...]:
    """Every line read, set beside the log and questioned; in the same order."""
    read = [_read(site, one, now=now) for one in lines]
    placed = [_placed(site, kept, one=one) for one in read]
    asked = _doubts(site, kept, looked=placed, now=now)
    return tuple(
        replace(one, doubts=asked.get(at, ())) if one.state == "new" else one
        for at, one in enumerate(placed)
    )


def write_looked(
    store: Store, looked: Sequence[Looked], *, now: datetime, struck: Sequence[str] = ()
) -> Added:
    """Write what is new; what is doubted in a reading stands in its note. All of it or nothing.

    struck : names of lines that are left out.
    """
    wanted = [one for one in looked if one.state == "new" and one.line.name not in struck]
    entries = [
        questioned(one.entry, one.doubts) if isinstance(one.entry, Reading) else one.entry
        for one in wanted
        if one.entry is not None
    ]
    return store.add(entries, now=now)


def _read(site: Site, line: Line, *, now: datetime) -> Looked:
    try:
        entry = entry_said(site, line.kind, words=line.words, now=now)
        instant_of(entry)
        return Looked(line, entry, "new")
    except EavewellFault as refused:
        return Looked(line, None, "refused", says_of(refused))


def _placed(site: Site, kept: Kept, *, one: Looked) -> Looked:
    """Beside what stands in the log."""
    entry = one.entry
    if entry is None:
        return one
    at = instant_of(entry)
    until = at + _INSTANT
    if not isinstance(entry, Reading):
        same = digest_of(entry)
        there = any(
            digest_of(each) == same for _, each in kept.entries(one.line.kind, at, until=until)
        )
        return replace(one, state="there") if there else one
    stands = kept.readings(entry.gauge, at, until=until).value
    if not stands.size:
        return one
    if np.isclose(stands[0], entry.value, rtol=1e-9, atol=1e-12):
        return replace(one, state="there")
    gauge = {each.name: each for each in gauges_of(site)}[entry.gauge]
    said = in_usual_unit(gauge, float(stands[0]), show=site.place.show)
    return replace(one, state="differs", says=f"Another figure stands at that instant: {said}.")


def _doubts(
    site: Site, kept: Kept, *, looked: Sequence[Looked], now: datetime
) -> dict[int, tuple[str, ...]]:
    """Sentences by the place of each line."""
    gauges = {one.name: one for one in gauges_of(site)}
    found: dict[int, tuple[str, ...]] = {}
    of: dict[str, list[tuple[int, Reading]]] = {}
    for place, one in enumerate(looked):
        if isinstance(one.entry, Reading) and one.state == "new":
            found[place] = doubts_alone(site, one.entry, gauge=gauges[one.entry.gauge], now=now)
            of.setdefault(one.entry.gauge, []).append((place, one.entry))
    many = {gauge: _columns(gauge, some) for gauge, some in of.items()}
    rain = [each for name, each in many.items() if gauges[name].measures == "rain"]
    for gauge, some in of.items():
        for says, at in _asked(site, kept, many=many[gauge], rain=rain):
            place, entry = next(one for one in some if stamp_of(one[1].at) == at)
            found[place] += (_STAMPED.sub(f"{entry.said} ", says),)
    return found


def _columns(gauge: str, some: Sequence[tuple[int, Reading]]) -> ManyReadings:
    return ManyReadings(
        gauge,
        np.array([stamp_of(entry.at) for _, entry in some], dtype="datetime64[ms]"),
        np.array([entry.value for _, entry in some]),
    )


def _asked(
    site: Site, kept: Kept, *, many: ManyReadings, rain: Sequence[ManyReadings]
) -> Iterator[tuple[str, np.datetime64]]:
    """Each question with the instant of the reading that it is about."""
    known = set(many.at_utc.tolist())
    for one in questions_on(site, many, kept=kept, rain=rain):
        at = one.at_utc
        if at is not None and at.astype("datetime64[ms]").item() in known:
            yield one.says, at.astype("datetime64[ms]")
