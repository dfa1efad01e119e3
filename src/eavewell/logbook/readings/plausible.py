"""Figures that cannot be, or hardly: questioned, never refused."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import timedelta

import numpy as np
from numpy.typing import NDArray

from eavewell.faults import BadLog
from eavewell.logbook.kept import Kept, ManyReadings, Taken
from eavewell.logbook.readings.figures import in_usual_unit
from eavewell.logbook.readings.gauged import levels, noise_m, strapping
from eavewell.logbook.readings.gauges import gauges_of
from eavewell.logbook.readings.meters import exchanges, metered
from eavewell.logbook.readings.midnights import instant_of, said_at
from eavewell.logbook.readings.most_between import (
    COUNTS_UP,
    Around,
    greatest_mm,
    most_between,
    most_passes_l_s,
)
from eavewell.logbook.readings.questions import Question, first_of
from eavewell.site.gauge import Gauge
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.tables import table

_MS_OF_MINUTE = 60_000.0
_MINUTES_OF_DAY = 1440.0
# figures above nothing that tell a counter from a gauge that is emptied
_ENOUGH = 24
# how far back the reading before the first is looked for
_BEFORE = timedelta(days=60)


def questions_on(
    site: Site,
    many: ManyReadings,
    *,
    kept: Kept | None = None,
    rain: Sequence[ManyReadings] = (),
) -> tuple[Question, ...]:
    """What is doubtful in readings of one gauge, in the order of time.

    A level below the floor or above the rim; a rise that rain on the roofs, loads and make-up could
    not bring; a fall that pumps and spill could not; a meter that falls or passes more than a meter
    can. kept : the log as it is, for the reading before the first, loads and rain. rain : readings
    of rain gauges that come with these. Where nobody measured rain, the greatest known is believed.
    """
    gauge = next((one for one in gauges_of(site) if one.name == many.gauge), None)
    if gauge is None or not many.count:
        return ()
    said = _Said(gauge, _with_before(gauge, many, kept=kept), site.log.zone, site.place.show)
    if gauge.measures in ("meter", "make-up") or _counts_rain(gauge):
        asked = _of_meter(said, site, kept=kept)
    elif gauge.measures == "level":
        asked = tuple(_of_level(said, Around(site, kept, tuple(rain))))
    else:
        asked = tuple(_of_rain(said)) if gauge.measures == "rain" else ()
    first = many.at_utc.min()
    return tuple(one for one in asked if one.at_utc is None or one.at_utc >= first)


@dataclass(frozen=True, slots=True, eq=False)
class _Said:
    """Readings of a gauge, and how their times and figures are said."""

    gauge: Gauge
    taken: Taken
    zone: str
    show: Show

    def asked(self, where: NDArray[np.bool_], why: str) -> tuple[Question, ...]:
        """Questions on some of the readings, shape (reading,)."""

        def ask(k: int) -> Question:
            value, at = float(self.taken.value[k]), self.taken.at_utc[k]
            figure = in_usual_unit(self.gauge, value, show=self.show)
            says = f"{figure} at {said_at(at, self.zone)} {why}."
            return Question(self.gauge.name, says, at_utc=at, value=value)

        return first_of(self.gauge.name, np.flatnonzero(where).tolist(), ask=ask)


def _with_before(gauge: Gauge, many: ManyReadings, *, kept: Kept | None) -> Taken:
    """The readings after the last one before them."""
    order = np.argsort(many.at_utc, kind="stable")
    at, value = many.at_utc[order], many.value[order]
    if kept is not None:
        begun = instant_of(at[0])
        before = kept.readings(gauge.name, begun - _BEFORE, until=begun)
        at = np.r_[before.at_utc[-1:], at]
        value = np.r_[before.value[-1:], value]
    return Taken(at, value, np.arange(at.size))


def _of_meter(said: _Said, site: Site, *, kept: Kept | None) -> tuple[Question, ...]:
    found = metered(
        said.taken,
        said.gauge,
        changed=exchanges(kept, said.gauge) if kept is not None else (),
        most_l_s=most_passes_l_s(site, said.gauge),
        zone=said.zone,
    )
    return found.questions


def _of_level(said: _Said, around: Around) -> Iterable[Question]:
    """Levels outside the tank, and moves that nothing explains."""
    try:
        tank = around.site.tank(said.gauge.of)
        strapped, noise = strapping(tank), noise_m(said.gauge)
        found = levels(said.gauge, said.taken.value)
    except (BadLog, KeyError):
        return
    out_m = table("log_figures")["outside"].value * noise
    low = found.level_m < -out_m
    high = found.level_m > strapped.depths_m[-1] + out_m
    yield from said.asked(low, "is below the floor of the tank")
    yield from said.asked(high, "is above the rim of the tank")
    rows = np.flatnonzero(~low & ~high & ~found.at_least)
    if rows.size < 2:
        return
    held_l = strapped.held_l(found.level_m[rows])
    slack_l = out_m * strapped.l_per_m(found.level_m[rows], over_m=out_m)
    slack_l = np.sqrt(2.0) * np.maximum(slack_l[1:], slack_l[:-1])
    may = most_between(around, tank, at=said.taken.at_utc[rows], held_l=held_l[:-1])
    up, down = np.zeros((2, said.taken.count), dtype=bool)
    up[rows[1:]] = np.diff(held_l) > may.fill_l + slack_l
    down[rows[1:]] = -np.diff(held_l) > may.fall_l + slack_l
    yield from said.asked(up, "is a rise that no rain, load or make-up explains")
    yield from said.asked(down, "is a fall faster than pumps draw or an overflow spills")


def _counts_rain(gauge: Gauge) -> bool:
    return gauge.measures == "rain" and gauge.how in COUNTS_UP


def _of_rain(said: _Said) -> Iterable[Question]:
    """More rain than any gauge has seen; less than none; a counter taken for a gauge."""
    taken = said.taken
    if _seems_to_count(taken):
        says = (
            "Its figures stand still and rise between falls to nothing, as a counter's do; if it "
            'counts up, say how = "pulse counter" of it, else each is added as rain of its own.'
        )
        yield Question(said.gauge.name, says)
    yield from said.asked(taken.value < 0.0, "is less rain than none")
    minutes = np.r_[_MINUTES_OF_DAY, np.diff(taken.at_utc).astype(np.int64) / _MS_OF_MINUTE]
    much = taken.value > greatest_mm(minutes)
    yield from said.asked(much, "is more rain than is believed of such a time")


def _seems_to_count(taken: Taken) -> bool:
    """Most figures above nothing are the same as, or more than, the one before."""
    rained = taken.value[:-1] > 0.0
    steps = np.diff(taken.value)[rained]
    if steps.size < _ENOUGH:
        return False
    still, falls = (steps == 0.0).mean(), (steps < 0.0).mean()
    return bool(still > 0.5 and falls < 0.1)
