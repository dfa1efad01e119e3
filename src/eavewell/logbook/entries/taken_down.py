"""A reading taken down: written with what is doubted in it, and set beside the one before."""

from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from eavewell.faults import BadLog
from eavewell.logbook.entries.doubts import doubts_of
from eavewell.logbook.entries.typed import questioned, reading_of
from eavewell.logbook.readings.figures import in_usual_unit
from eavewell.logbook.readings.gauged import held_l
from eavewell.logbook.store.store import Store
from eavewell.site.entry import Reading
from eavewell.site.gauge import Gauge
from eavewell.site.site import Site

_LATELY = timedelta(days=60)


@dataclass(frozen=True, slots=True)
class Said:
    """By whom something is said, with what note, and when now is."""

    now: datetime
    who: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class TakenDown:
    """A reading that is in the log.

    before : the newest of the gauge before it; None where there is none. doubts : sentences.
    held_l : what the tank holds by it above the dead storage; None where it is no level, or no
    shape says; change_l : since the one before. already : True where it was there before. key : by
    which it is corrected.
    """

    gauge: Gauge
    reading: Reading
    before: Reading | None
    doubts: tuple[str, ...]
    held_l: float | None
    change_l: float | None
    already: bool
    key: int


def take_down(
    site: Site, store: Store, *, gauge: Gauge, text: str, at: datetime, said: Said
) -> TakenDown:
    """Write one reading as somebody says it; what is doubted in it stands in its note.

    Raises BadQuantity for what is no figure, and BadLog where another stands at that instant.
    """
    plain = reading_of(gauge, text, at=at, who=said.who, note=said.note)
    before = before_of(store, gauge, at=at)
    doubts = doubts_of(site, plain, gauge=gauge, before=before, now=said.now, kept=store)
    reading = questioned(plain, doubts)
    added = store.add([reading], now=said.now)
    for differs in added.differs:
        other = store.entry("reading", differs.key or 0)
        stands = getattr(other, "said", "") or in_usual_unit(
            gauge, differs.stands, show=site.place.show
        )
        raise BadLog(
            f"{gauge.name} has another reading at {at:%Y-%m-%d %H:%M}, {stands}: {text} was not "
            f"written. To put what stands right, correct r{differs.key}."
        )
    key = int(store.readings(gauge.name, at, until=at + timedelta(milliseconds=1)).keys[0])
    held_l, before_l = (
        None if one is None else _held(site, gauge, reading=one) for one in (reading, before)
    )
    change_l = None if held_l is None or before_l is None else held_l - before_l
    return TakenDown(
        gauge,
        reading,
        before,
        doubts,
        held_l,
        change_l,
        already=not added.new,
        key=key,
    )


def before_of(store: Store, gauge: Gauge, *, at: datetime) -> Reading | None:
    """The newest reading of a gauge before an instant."""
    newest = store.last(gauge.name)
    if newest is None or newest.at < at:
        return newest
    for since in (at - _LATELY, None):
        taken = store.readings(gauge.name, since, until=at)
        if taken.count:
            entry = store.entry("reading", int(taken.keys[-1]))
            return entry if isinstance(entry, Reading) else None
    return None


def _held(site: Site, gauge: Gauge, *, reading: Reading) -> float | None:
    tank = next((one for one in site.tanks if one.name == gauge.of), None)
    if gauge.measures != "level" or tank is None:
        return None
    try:
        return float(held_l(tank, gauge, said=np.array([reading.value]))[0])
    except BadLog:
        return None
