"""Today's level through every year of the record, side by side in one batch."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from eavewell.logbook.ahead.basis import Arrival, Asked, Basis
from eavewell.logbook.ahead.years import Rows
from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.storage.arrangement import arrange, lanes_as_drawn
from eavewell.storage.balance import Balance, run
from eavewell.storage.lanes import LANE_ARRAYS, Arrangement
from eavewell.storage.series import drained_roofs
from eavewell.weather.days import Days

NEVER_L = -1.0


@dataclass(frozen=True, slots=True, eq=False)
class Group:
    """Lanes that differ from the others in how the system is kept.

    scale : factor on each use in the order of service, (use,). stages : whether rations are kept
    to. loads : whether trucks are ordered. held_l : start levels, (tank, start).
    """

    scale: FloatArray
    held_l: FloatArray
    stages: bool = True
    loads: bool = True


@dataclass(frozen=True, slots=True, eq=False)
class Evenings:
    """What each lane of a group held in the evening of each day, (day, tank, lane).

    loads : how many came in all, (truck, lane).
    """

    held_l: FloatArray
    loads: FloatArray

    @property
    def all_l(self) -> FloatArray:
        """All tanks together, (day, lane)."""
        total: FloatArray = self.held_l.sum(axis=1)
        return total


@dataclass(frozen=True, slots=True, eq=False)
class Known:
    """A day of the run that does not come from the record.

    depth_mm : from each drained roof, (roof,); None where the record's rain stays.
    brought_l : by loads, of each tank, (tank,).
    """

    at: int
    depth_mm: FloatArray | None
    brought_l: FloatArray


def known_days(basis: Basis, first: date, *, asked: Asked, days: int) -> tuple[Known, ...]:
    """The days of a run from `first` on whose rain is known, or on which a load comes."""
    shed = shed_mm(basis, asked.rain_mm)
    stated = {*asked.rain_mm, *(load.day for load in asked.loads)}
    inside = [day for day in sorted(stated) if 0 <= (day - first).days < days]
    return tuple(
        Known((day - first).days, shed.get(day), _brought_l(basis.site, day, loads=asked.loads))
        for day in inside
    )


def _brought_l(site: Site, day: date, *, loads: Sequence[Arrival]) -> FloatArray:
    of = {tank.name: n for n, tank in enumerate(site.tanks)}
    brought = np.zeros(len(site.tanks))
    for load in loads:
        if load.day == day:
            brought[of[load.to]] += load.volume_l
    return brought


def shed_mm(basis: Basis, rain_mm: Mapping[date, float]) -> dict[date, FloatArray]:
    """What stated rain brings from each drained roof, by its day; days between count as dry."""
    if not rain_mm:
        return {}
    first, last = min(rain_mm), max(rain_mm)
    calendar = [first + timedelta(days=n) for n in range((last - first).days + 1)]
    fell = np.array([rain_mm.get(day, 0.0) for day in calendar])
    depth = basis.water_of(basis.site, _weather_like(basis.days, first, rain_mm=fell)).runoff_mm
    return {day: depth[n] for n, day in enumerate(calendar) if day in rain_mm}


def _weather_like(days: Days, first: date, *, rain_mm: FloatArray) -> Days:
    """Days with this rain; the rest as on the record's days of the same season."""
    began = days.dates[0].astype("datetime64[D]")
    row = int((np.datetime64(first) - began).astype(int)) % 365
    rows = (row + np.arange(rain_mm.size)) % days.count
    dates = np.datetime64(first) + np.arange(rain_mm.size)
    highest, lowest = days.tmax_c, days.tmin_c
    return Days(
        dates.astype(days.dates.dtype),
        rain_mm,
        days.et0_mm[rows],
        None if highest is None else highest[rows],
        None if lowest is None else lowest[rows],
    )


def evenings(
    basis: Basis, rows: Rows, *, groups: Sequence[Group], known: Sequence[Known] = ()
) -> list[Evenings]:
    """Run every group through every year in one batch, from each of its start levels.

    rows : (day, year). The lanes of a group are its starts, and in each of them every year.
    """
    whole = batch(basis, rows, groups=groups, known=known)
    runs = _runs(whole, range(whole.capacity_l.shape[0]))
    held = _held(whole, runs)
    ends = np.cumsum([group.held_l.shape[1] * rows.shape[1] for group in groups])
    return [
        Evenings(part, loads)
        for part, loads in zip(
            np.split(held, ends[:-1], axis=-1),
            np.split(next(iter(runs.values())).sums.loads, ends[:-1], axis=-1),
            strict=True,
        )
    ]


def held_in(whole: Arrangement, tanks: Iterable[int]) -> FloatArray:
    """What some tanks hold in the evening of every day, (day, tank, lane); 0 for the others."""
    return _held(whole, _runs(whole, tanks))


def _runs(whole: Arrangement, tanks: Iterable[int]) -> dict[int, Balance]:
    """One run for each tank that holds anything; the engine keeps one tank's evenings at a time."""
    return {tank: run(whole, watch=tank) for tank in tanks if whole.capacity_l[tank].any()}


def _held(whole: Arrangement, runs: Mapping[int, Balance]) -> FloatArray:
    tanks, lanes = whole.capacity_l.shape
    held = np.zeros((whole.day_row.shape[0], tanks, lanes))
    for tank, one in runs.items():
        assert one.evening_l is not None
        held[:, tank] = one.evening_l[:, 0]
    return held


def batch(
    basis: Basis, rows: Rows, *, groups: Sequence[Group], known: Sequence[Known] = ()
) -> Arrangement:
    """The lanes of every group, ready for the engine."""
    drawn = lanes_as_drawn(basis.site, len(groups))
    scale = np.stack([group.scale for group in groups], axis=1)
    lanes = replace(drawn, scale=scale)
    one = arrange(basis.site, basis.water, lanes=lanes, day_row=rows[:, :1])
    one, reads = _with_known(one, rows, known=known)
    years, starts = rows.shape[1], [group.held_l.shape[1] for group in groups]
    of_group = np.repeat(np.arange(len(groups)), np.array(starts) * years)
    wide = one._replace(**{name: getattr(one, name)[..., of_group] for name in LANE_ARRAYS})
    held = np.concatenate([np.repeat(group.held_l, years, axis=1) for group in groups], axis=1)
    no_stages = np.array([not group.stages for group in groups])[of_group]
    no_loads = np.array([not group.loads for group in groups])[of_group]
    return wide._replace(
        day_row=np.tile(reads, (1, sum(starts))),
        start_l=np.clip(held, 0.0, wide.capacity_l),
        stage_below_l=np.where(no_stages, NEVER_L, wide.stage_below_l),
        truck_order_l=np.where(no_loads, NEVER_L, wide.truck_order_l),
    )


def _with_known(
    one: Arrangement, rows: Rows, *, known: Sequence[Known]
) -> tuple[Arrangement, Rows]:
    """The arrangement with a row of its own for each known day in each year, and who reads it."""
    reads, years, first = rows.copy(), rows.shape[1], one.runoff_mm.shape[0]
    tanks = one.capacity_l.shape[0]
    if not known:
        return one, reads
    # What a load brings enters as from a roof of 1 m2.
    fell = np.hstack([one.runoff_mm, np.zeros((first, tanks))])
    new = np.concatenate([fell[rows[day.at]] for day in known])
    for n, day in enumerate(known):
        here = slice(n * years, (n + 1) * years)
        if day.depth_mm is not None:
            new[here, :-tanks] = day.depth_mm
        new[here, -tanks:] = day.brought_l
        reads[day.at] = first + np.arange(here.start, here.stop)
    same = np.concatenate([rows[day.at] for day in known])
    return one._replace(
        runoff_mm=np.vstack([fell, new]),
        demand_l=np.vstack([one.demand_l, one.demand_l[same]]),
        loss_l=np.vstack([one.loss_l, one.loss_l[same]]),
        area_m2=np.vstack([one.area_m2, np.ones((tanks, one.area_m2.shape[1]))]),
        roof_to=np.concatenate([one.roof_to, np.arange(tanks)]),
    ), reads


def roofs_l(site: Site, depth_mm: FloatArray) -> FloatArray:
    """Litres into each tank from a depth of each drained roof, (tank,)."""
    of = {tank.name: n for n, tank in enumerate(site.tanks)}
    brought = np.zeros(len(site.tanks))
    for roof, depth in zip(drained_roofs(site), depth_mm, strict=True):
        brought[of[roof.drains_to]] += roof.plan_area_m2 * depth
    return brought
