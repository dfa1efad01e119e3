"""The look ahead: from today's level on through every year of the record."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from eavewell.faults import BadSite
from eavewell.logbook.ahead.basis import Asked, Basis, Standing
from eavewell.logbook.ahead.cut_years import CutYears, FromToday, cut_years
from eavewell.logbook.ahead.fan import (
    NextStage,
    When,
    first_days,
    next_stages,
    tenths_l,
    when,
)
from eavewell.logbook.ahead.lanes import (
    Evenings,
    Group,
    Known,
    evenings,
    known_days,
    roofs_l,
    shed_mm,
)
from eavewell.logbook.ahead.no_rain import Brought, Cut, NoRain, cuts, last_day, no_rain
from eavewell.logbook.ahead.order import Levels, Order, orders
from eavewell.logbook.ahead.reach import Reach, Toward, reached
from eavewell.logbook.ahead.supply import Supply, dry_by_day, supplies
from eavewell.logbook.ahead.uses import Used, people_of, used
from eavewell.logbook.ahead.years import Rows, years_from
from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.tables import table

# Middles of five equal parts of a normal distribution: the lower tenth, ..., the upper tenth.
PARTS = (-1.2815515655, -0.5244005127, 0.0, 0.5244005127, 1.2815515655)


@dataclass(frozen=True, slots=True)
class SupplyAhead:
    """One group of tanks that stand for one another.

    held_l, low_l, high_l : now, above the dead storage: in the middle, and the tenths of what it
              may be. week, plan : with no rain, at last week's use (None unknown) and the plan's.
    cuts    : what each use is worth with no rain, at last week's use where known; cut_years :
              through the years of the record.
    """

    supply: Supply
    held_l: float
    low_l: float
    high_l: float
    week: NoRain | None
    plan: NoRain
    cuts: tuple[Cut, ...]
    cut_years: tuple[CutYears, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Way:
    """The years with one way of keeping the system.

    name : "as stated", "no loads" or "no rations". tenths_l : of all tanks, (day, tenth).
    of_tank : of each tank of the site that holds anything, by its name, (day, tenth).
    chance : of having run dry by each evening, (day,). dry : when. loads : by the run's end, of
    each truck: mean, and in the year in ten that asks most.
    """

    name: str
    tenths_l: FloatArray
    of_tank: Mapping[str, FloatArray]
    chance: FloatArray
    dry: When
    loads: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, eq=False)
class Ahead:
    """What lies ahead.

    day, read_on : today, and the day of the last reading. years : how many of the record.
    unknown_days : since the reading, without known rain; there every year gives its own.
    evenings     : the days whose evenings the ways hold, the first is today's.
    unread       : tanks that were never read; a supply of no others is not looked at.
    """

    day: date
    read_on: date
    years: int
    unknown_days: int
    evenings: tuple[date, ...]
    used: Used
    now_l: FloatArray
    supplies: tuple[SupplyAhead, ...]
    ways: tuple[Way, ...]
    stages: tuple[NextStage, ...]
    orders: tuple[Order, ...]
    reach: Reach | None
    unread: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, eq=False)
class _Run:
    """The years from the reading on; gone : days from the reading to today."""

    basis: Basis
    standing: Standing
    asked: Asked
    rows: Rows
    known: tuple[Known, ...]
    used: Used
    gone: int


def look_ahead(
    basis: Basis, standing: Standing, *, asked: Asked | None = None, days: int | None = None
) -> Ahead:
    """Run today's level on through every year of the record from this date.

    days : how far; None takes the usual year.

    Raises BadSite and BadRecord in sentences.
    """
    one = _prepared(basis, standing, asked=asked or Asked(), days=days)
    ways = _ways(one)
    now = _now(ways["as stated"], one)
    every = _every(one)
    spare = ways.get("no loads", ways["as stated"])
    middle = np.median(now, axis=1)
    cut = _cut_years(one, now=now, every=every) if one.asked.cut_years else ((),) * len(every)
    ahead = tuple(
        replace(_supply_ahead(one, supply, now=now), cut_years=years)
        for supply, years in zip(every, cut, strict=True)
    )
    return Ahead(
        day=standing.day,
        read_on=standing.read_on,
        years=one.rows.shape[1],
        unknown_days=_unknown_days(one),
        evenings=tuple(
            standing.day + timedelta(days=n) for n in range(one.rows.shape[0] - one.gone)
        ),
        used=one.used,
        now_l=middle,
        supplies=ahead,
        ways=tuple(_way(name, way, one=one, every=every) for name, way in ways.items()),
        stages=_stages(one, spare.held_l[one.gone :], now_l=middle),
        orders=_orders(one, spare.held_l[one.gone :], now_l=middle),
        unread=standing.unread,
        reach=_reach(one, now=now, every=every, until=_until(one, ahead)),
    )


def _prepared(basis: Basis, standing: Standing, *, asked: Asked, days: int | None) -> _Run:
    gone = (standing.day - standing.read_on).days
    if gone < 0:
        raise BadSite(f"The reading of {standing.read_on} lies after {standing.day}.")
    ahead = int(table("ahead")["days ahead"].value) if days is None else days
    rows = years_from(basis.water.dates, standing.read_on, days=gone + ahead)
    known = known_days(basis, standing.read_on, asked=asked, days=gone + ahead)
    return _Run(basis, standing, asked, rows, known, used(basis, rows, standing=standing), gone)


def _every(one: _Run) -> tuple[Supply, ...]:
    """Every supply of which some level is known."""
    every = supplies(one.basis.site, one.used.ahead_l_day)
    return tuple(supply for supply in every if not set(supply.tanks) <= one.standing.unread)


def _orders(one: _Run, held_l: FloatArray, *, now_l: FloatArray) -> tuple[Order, ...]:
    """Of the trucks to tanks that were read."""
    levels = _levels(one, held_l, now_l=now_l)
    found = orders(one.basis.site, levels, l_day=one.used.ahead_l_day)
    return tuple(order for order in found if order.to not in one.standing.unread)


def _stages(one: _Run, held_l: FloatArray, *, now_l: FloatArray) -> tuple[NextStage, ...]:
    """Of the uses that draw from a tank that was read."""
    found = next_stages(one.basis.site, held_l, now_l=now_l, day=one.standing.day)
    return tuple(stage for stage in found if not set(stage.tanks) <= one.standing.unread)


def _starts_l(standing: Standing) -> FloatArray:
    """Levels that the reading may have stood for, (tank, start): equally likely each."""
    held, sd = standing.held_l[:, None], standing.held_sd_l[:, None]
    spread: FloatArray = held + sd * np.array(PARTS)
    return spread if standing.held_sd_l.any() else held


def _ways(one: _Run) -> dict[str, Evenings]:
    site, starts = one.basis.site, _starts_l(one.standing)
    groups = {"as stated": Group(one.used.scale, starts)}
    if site.hauling:
        groups["no loads"] = Group(one.used.scale, starts, loads=False)
    if any(use.stages for use in site.uses):
        groups["no rations"] = Group(
            one.used.scale, one.standing.held_l[:, None], stages=False, loads=False
        )
    run = evenings(one.basis, one.rows, groups=list(groups.values()), known=one.known)
    return dict(zip(groups, run, strict=True))


def _now(way: Evenings, one: _Run) -> FloatArray:
    """What the tanks hold on today's morning, (tank, lane)."""
    if one.gone:
        evening: FloatArray = way.held_l[one.gone - 1]
        return evening
    starts = np.clip(_starts_l(one.standing), 0.0, _usable_l(one)[:, None])
    return np.asarray(np.repeat(starts, one.rows.shape[1], axis=1))


def _usable_l(one: _Run) -> FloatArray:
    return np.array([tank.usable_l for tank in one.basis.site.tanks])


def _unknown_days(one: _Run) -> int:
    known = {day.at for day in one.known if day.depth_mm is not None}
    return sum(day not in known for day in range(one.gone))


def _way(name: str, way: Evenings, *, one: _Run, every: tuple[Supply, ...]) -> Way:
    held = way.held_l[one.gone :]
    dry, total = dry_by_day(held, every), tenths_l(held.sum(axis=1))
    return Way(
        name=name,
        tenths_l=total,
        of_tank=_of_tank(held, one.basis.site, total=total),
        chance=np.asarray(dry.mean(axis=1)),
        dry=when(first_days(dry), one.standing.day),
        loads=tuple(
            (float(row.mean()), float(np.quantile(row, 0.9, method="inverted_cdf")))
            for row in way.loads
        ),
    )


def _of_tank(held_l: FloatArray, site: Site, *, total: FloatArray) -> dict[str, FloatArray]:
    real = {n: tank.name for n, tank in enumerate(site.tanks) if tank.usable_l > 0.0}
    if len(real) == 1:
        return dict.fromkeys(real.values(), total)
    return {name: tenths_l(held_l[:, n]) for n, name in real.items()}


def _supply_ahead(one: _Run, supply: Supply, *, now: FloatArray) -> SupplyAhead:
    low, middle, high = np.quantile(supply.held_l(now), (0.1, 0.5, 0.9)).tolist()
    coming = _brought(one, supply.tanks)
    plan = _with_l_day(one, supply, l_day=one.used.plan_l_day)
    week = (
        None if one.used.week_l_day is None else _with_l_day(one, supply, l_day=one.used.week_l_day)
    )
    return SupplyAhead(
        supply=supply,
        held_l=middle,
        low_l=low,
        high_l=high,
        week=None if week is None else no_rain(week, middle, brought=coming),
        plan=no_rain(plan, middle, brought=coming),
        cuts=cuts(week or plan, middle, brought=coming),
    )


def _cut_years(
    one: _Run, *, now: FloatArray, every: tuple[Supply, ...]
) -> tuple[tuple[CutYears, ...], ...]:
    """No load is ordered but those stated: what is to be gained is not to be bought."""
    today, days = one.standing.day, one.rows.shape[0] - one.gone
    rows = years_from(one.basis.water.dates, today, days=days)
    group = Group(one.used.scale, _five(now), loads=False)
    known = known_days(one.basis, today, asked=one.asked, days=days)
    return cut_years(one.basis, FromToday(today, rows, group, known, every))


def _with_l_day(one: _Run, supply: Supply, *, l_day: Mapping[str, float]) -> Supply:
    same = [way for way in supplies(one.basis.site, l_day) if way.tanks == supply.tanks]
    return same[0]


def _levels(one: _Run, held_l: FloatArray, *, now_l: FloatArray) -> Levels:
    """What the orders of loads go by."""
    to = {truck.to for truck in one.basis.site.hauling}
    brought = {name: _brought(one, (name,)) for name in to}
    return Levels(held_l, now_l, one.standing.day, hauled=one.asked.hauled, brought=brought)


def _brought(one: _Run, tanks: tuple[str, ...]) -> tuple[Brought, ...]:
    """What stated rain and loads bring to some tanks from today on."""
    today, site = one.standing.day, one.basis.site
    at = [n for n, tank in enumerate(site.tanks) if tank.name in tanks]
    rains = shed_mm(one.basis, one.asked.rain_mm)
    found = [(day, roofs_l(site, depth)[at].sum()) for day, depth in rains.items()]
    found += [(load.day, load.volume_l) for load in one.asked.loads if load.to in tanks]
    return tuple(
        Brought((day - today).days, float(brought)) for day, brought in found if day >= today
    )


def _until(one: _Run, ahead: tuple[SupplyAhead, ...]) -> date | None:
    """The day to reach; where the first month not reached is asked for, its first day."""
    if one.asked.reach is not None or not one.asked.reach_next:
        return one.asked.reach
    days = (supply.week or supply.plan for supply in ahead)
    until = [last_day(one.standing.day, lasts.plain_days) for lasts in days]
    short = min((day for day in until if day is not None), default=None)
    if short is None or (short - one.standing.day).days >= table("ahead")["days ahead"].value:
        return None
    return (short.replace(day=1) + timedelta(days=31)).replace(day=1)


def _reach(
    one: _Run, *, now: FloatArray, every: tuple[Supply, ...], until: date | None
) -> Reach | None:
    today = one.standing.day
    if until is None:
        return None
    days = (until - today).days
    if days < 1:
        raise BadSite(f"The day to reach, {until}, does not lie after {today}.")
    rows = years_from(one.basis.water.dates, today, days=days)
    to = Toward(
        rows=rows,
        starts_l=_five(now),
        l_day=one.basis.water.demand_l[rows].mean(axis=(0, 1)) * one.used.scale,
        known=known_days(one.basis, today, asked=one.asked, days=days),
        every=every,
    )
    usual = table("ahead")["chance to run dry"].value
    chance = usual if one.asked.chance is None else one.asked.chance
    people = people_of(one.basis.site.uses)
    return reached(one.basis, to, until=until, chance=chance, people=people)


def _five(now: FloatArray) -> FloatArray:
    """Five of today's levels that stand for them all; one where they are all the same."""
    total = now.sum(axis=0)
    if np.ptp(total) <= 0.0:
        return now[:, :1]
    order = np.argsort(total, kind="stable")
    parts = (np.array((0.1, 0.3, 0.5, 0.7, 0.9)) * (order.size - 1)).round().astype(int)
    return now[:, order[parts]]
