"""What stands in the tanks today, what was used and caught, against what the season lets expect."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from eavewell.faults import BadLog
from eavewell.logbook.ahead.basis import Basis
from eavewell.logbook.daily_log import DailyLog
from eavewell.logbook.latest import Latest
from eavewell.logbook.reconciled.groups import only
from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.storage.balance import EveryDay
from eavewell.storage.series import drained_roofs
from eavewell.storage.stick import level_m
from eavewell.tables import table

SEASON_DAYS = 7
TENTHS = (0.1, 0.9)


@dataclass(frozen=True, slots=True)
class Usual:
    """What years of the record had within a week of this date: their mean and two tenths."""

    mean: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class TankToday:
    """One tank: held above the dead storage, its standard error, its level on the stick.

    since_yesterday_l, since_week_l : change; None where the earlier level is not known.
    """

    name: str
    held_l: float
    sd_l: float
    total_l: float
    level_m: float | None
    since_yesterday_l: float | None
    since_week_l: float | None


@dataclass(frozen=True, slots=True)
class Metered:
    """What a meter counted in a day of the last week, over how many days that it is known."""

    meter: str
    l_day: float
    days: int


@dataclass(frozen=True, slots=True)
class Today:
    """The day's figures; None where the log does not tell.

    read_on : the last day with a level. usual_held_l : of the same tanks, this season.
    use_by_level_l_day : from the fall of the level on days without rain, loads taken off.
    dry_days : how many days that rests on. rain_gauged : whether the gauge said they were dry.
    rain_days, week_days : days of the last week whose rain is known, and how many it has.
    caught_l : in the last week, from the rise of the level and what was used meanwhile.
    usual_use_l_day, usual_caught_l : of the plan and the record for the same week of the year.
    """

    day: date
    read_on: date
    tanks: tuple[TankToday, ...]
    meters: tuple[Metered, ...]
    usual_held_l: Usual
    use_by_level_l_day: float | None
    dry_days: int
    rain_gauged: bool
    rain_mm: float | None
    rain_days: int
    week_days: int
    caught_l: float | None
    make_up_l: float | None
    hauled_l: float
    usual_use_l_day: Usual
    usual_caught_l: Usual

    @property
    def held_l(self) -> float:
        """All tanks, above their dead storage."""
        return sum(tank.held_l for tank in self.tanks)

    @property
    def use_metered_l_day(self) -> float | None:
        """All meters together; None where none counted."""
        return sum(one.l_day for one in self.meters) if self.meters else None


def today(
    basis: Basis,
    every_day: EveryDay,
    *,
    log: DailyLog,
    latest: Sequence[Latest],
    day: date,
) -> Today:
    """The figures of one day from the log, and what the record lets expect of it.

    every_day : of the design as drawn, on the days of the basis. latest : last levels.

    Raises BadLog where no level of any tank was read yet.
    """
    if not latest:
        raise BadLog("The log holds no level of a tank yet: read one, or type it.")
    log = only(log, tuple(one.tank for one in latest))
    week = last_week(log)
    dry = dry_days(log, week)
    return Today(
        day=day,
        read_on=min(one.at.date() for one in latest),
        tanks=tuple(_tank(basis.site, one) for one in latest),
        meters=tuple(metered(log, week)),
        usual_held_l=_usual_held(basis, every_day, day=day, tanks={one.tank for one in latest}),
        use_by_level_l_day=use_by_level_l_day(log, dry),
        dry_days=int(dry.size),
        rain_gauged=bool(np.isfinite(log.rain_mm[week]).all() and week.size),
        rain_mm=_sum(log.rain_mm[week]),
        rain_days=int(np.isfinite(log.rain_mm[week]).sum()),
        week_days=int(week.size),
        caught_l=_caught_l(log, week),
        make_up_l=_sum(log.make_up_l[week]),
        hauled_l=float(np.nansum(log.hauled_l[week])),
        usual_use_l_day=_usual_week(basis, basis.water.demand_l.sum(axis=1), day=day, mean=True),
        usual_caught_l=_usual_week(basis, _inflow_l(basis), day=day, mean=False),
    )


def last_week(log: DailyLog) -> NDArray[np.int64]:
    """Rows of the week before the last midnight at which every tank's level is known.

    Where none is, of the last week of the log.
    """
    known = np.flatnonzero(np.isfinite(log.held_l).all(axis=1))
    last = int(known[-1]) if known.size else log.days
    return np.arange(max(0, last - int(table("ahead")["week days"].value)), last)


def _tank(site: Site, one: Latest) -> TankToday:
    tank = site.tank(one.tank)
    return TankToday(
        name=one.tank,
        held_l=one.held_l,
        sd_l=one.sd_l,
        total_l=tank.dead_storage_l + one.held_l,
        level_m=level_m(tank, one.held_l),
        since_yesterday_l=None if one.day_before_l is None else one.held_l - one.day_before_l,
        since_week_l=None if one.week_before_l is None else one.held_l - one.week_before_l,
    )


def metered(log: DailyLog, week: NDArray[np.int64]) -> list[Metered]:
    """Each meter's mean of a week; a meter that told nothing in it is left out."""
    found = []
    for n, name in enumerate(log.meters):
        figures = log.metered_l[week, n]
        known = int(np.isfinite(figures).sum())
        if known:
            found.append(Metered(name, float(np.nanmean(figures)), known))
    return found


def dry_days(log: DailyLog, week: NDArray[np.int64]) -> NDArray[np.int64]:
    """Days of a week without rain by the gauge; where it is silent, those on which no tank rose."""
    week = week[week + 1 < log.days]
    change = (log.held_l[week + 1] - log.held_l[week]).sum(axis=1)
    level_known, rain = np.isfinite(change), log.rain_mm[week]
    dry = np.where(np.isfinite(rain), rain <= 0.0, change - log.hauled_l[week].sum(axis=1) <= 0.0)
    return np.asarray(week[level_known & dry])


def use_by_level_l_day(log: DailyLog, dry: NDArray[np.int64]) -> float | None:
    """Fall of all tanks on dry days, with what loads and make-up put in; None without such days."""
    if dry.size == 0:
        return None
    fall = (log.held_l[dry] - log.held_l[dry + 1]).sum(axis=1)
    put_in = log.hauled_l[dry].sum(axis=1) + np.nan_to_num(log.make_up_l[dry])
    return max(float((fall + put_in).mean()), 0.0)


def _caught_l(log: DailyLog, week: NDArray[np.int64]) -> float | None:
    """Rise of the tanks and all that was metered out, less what loads and make-up brought."""
    out = log.metered_l[week]
    if week.size == 0 or out.shape[1] == 0 or not np.isfinite(out).all():
        return None
    if week[-1] + 1 >= log.days:
        return None
    rise = float((log.held_l[week[-1] + 1] - log.held_l[week[0]]).sum())
    put_in = float(log.hauled_l[week].sum() + np.nan_to_num(log.make_up_l[week]).sum())
    return max(rise + float(out.sum()) - put_in, 0.0) if np.isfinite(rise) else None


def _sum(values: FloatArray) -> float | None:
    return float(np.nansum(values)) if np.isfinite(values).any() else None


def _in_season(basis: Basis, day: date) -> NDArray[np.bool_]:
    """Days of the record within a week of this date in any year."""
    of_year = _day_of_year(basis.water.dates)
    here = _day_of_year(np.array([np.datetime64(day)]))[0]
    apart = np.abs(of_year - here)
    return np.asarray(np.minimum(apart, 365 - apart) <= SEASON_DAYS)


def _day_of_year(dates: NDArray[np.datetime64]) -> NDArray[np.int64]:
    days = dates.astype("datetime64[D]")
    return np.asarray((days - days.astype("datetime64[Y]")).astype(np.int64))


def _usual_held(basis: Basis, every_day: EveryDay, *, day: date, tanks: set[str]) -> Usual:
    """Of these tanks together."""
    at = [n for n, tank in enumerate(basis.site.tanks) if tank.name in tanks]
    return _usual(every_day.level_l[_in_season(basis, day)][:, at].sum(axis=1))


def _usual_week(basis: Basis, daily_l: FloatArray, *, day: date, mean: bool) -> Usual:
    """The week that ends on this date, in every year: its mean day, or its sum."""
    days = int(table("ahead")["week days"].value)
    sums = np.convolve(daily_l, np.ones(days), mode="valid")
    ends_in_season = _in_season(basis, day)[days - 1 :]
    return _usual(sums[ends_in_season] / (days if mean else 1))


def _usual(values: FloatArray) -> Usual:
    low, high = np.quantile(values, TENTHS)
    return Usual(float(values.mean()), float(low), float(high))


def _inflow_l(basis: Basis) -> FloatArray:
    area = np.array([roof.plan_area_m2 for roof in drained_roofs(basis.site)])
    inflow: FloatArray = basis.water.runoff_mm @ area
    return inflow
