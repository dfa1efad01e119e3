"""The account of every day: what the tanks held, what came and went by the gauges, what may spill.

All stores that are gauged are taken together, so that what a lift moves between them is no flow.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from eavewell.design import Design
from eavewell.faults import BadLog
from eavewell.logbook.daily_log import DailyLog
from eavewell.logbook.readings.gauges import gauges_of
from eavewell.site.gauge import Gauge
from eavewell.site.rain_record import DayArray, FloatArray
from eavewell.site.roof import Roof
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.storage.arrangement import MAINS
from eavewell.storage.reliability import monthly_means
from eavewell.storage.series import Series, drained_roofs, uses_in_order
from eavewell.storage.stick import draws_from
from eavewell.tables import table
from eavewell.weather.days import Days

HOURS_A_DAY = 24.0
BESIDE_MIDNIGHT_H = 1.0
SELDOM_DAYS = 3.0
WEEK = 7
BY_ITSELF = {"ultrasonic", "pressure sensor", "reed chain"}


class TooLittleLogged(BadLog):
    """The log cannot answer yet: what is missing, in a sentence."""


@dataclass(frozen=True, slots=True, eq=False)
class Expected:
    """What a design expects of a month: shape (month, use) and (month,), January first.

    dates, rain_mm : the days of its record, for days on which the site's own gauge says nothing.
    """

    use_l_day: FloatArray
    open_loss_mm: FloatArray
    dates: DayArray
    rain_mm: FloatArray


def expected_of(design: Design) -> Expected:
    """What the logbook needs of a design."""
    return expected_on(design.water, design.weather.days)


def expected_on(water: Series, days: Days) -> Expected:
    """The same of the water and the weather of a record."""
    wants = [monthly_means(column, water.dates) for column in water.demand_l.T]
    use_l_day = np.stack(wants, axis=1) if wants else np.zeros((12, 0))
    return Expected(
        use_l_day, monthly_means(water.open_loss_mm, water.dates), days.dates, days.rain_mm
    )


@dataclass(frozen=True, slots=True, eq=False)
class Account:
    """Days of a log as one store; L unless named otherwise, shape (day,) unless named otherwise.

    tanks     : those gauged; capacity_l and held_l are theirs; a level is that of the
                midnight that begins the day.
    roofs     : those that drain to them, or to a sump lifted into them.
    rain_mm   : by the own gauge (own_rain True), else by the record.
    metered_l : by meters that count no water twice; nan where one of them is not known.
    seldom    : True where one of them is read less than once a week: of its days only the mean
                is known.
    counted   : the uses behind them. assumed : uses that draw and that no meter counts.
    assumed_l : what those are expected to draw. came_l : loads and make-up.
    open_l    : evaporation expected of open tanks.
    read_daily : True where levels are read once a day, at another hour than midnight.
    may_spill : True where the rain could have filled a tank to its overflow.
    may_lack  : True where a tank was so low that a use may have been cut, or nothing left to leak.
    """

    dates: DayArray
    tanks: tuple[str, ...]
    roofs: tuple[Roof, ...]
    capacity_l: float
    held_l: FloatArray
    held_sd_l: FloatArray
    read: NDArray[np.bool_]
    rain_mm: FloatArray
    own_rain: NDArray[np.bool_]
    metered_l: FloatArray
    seldom: bool
    counted: tuple[str, ...]
    assumed: tuple[str, ...]
    assumed_l: FloatArray
    came_l: FloatArray
    open_l: FloatArray
    read_daily: bool
    may_spill: NDArray[np.bool_]
    may_lack: NDArray[np.bool_]

    @property
    def days(self) -> int:
        """Number of days."""
        return int(self.dates.size)

    @property
    def plain(self) -> NDArray[np.bool_]:
        """Levels that were read and are as good as most.

        A midnight between two daily readings lies somewhere on the rise of a rain, so that part of
        the rain would seem to come a day early or late: beside a rainy day it is stepped over, and
        beside one on which far more was drawn than on most.
        """
        known = self.read & np.isfinite(self.held_l) & np.isfinite(self.held_sd_l)
        # Where a stick is read once a week there are too few to choose among: each counts by its
        # own error, in which the rain of its week stands.
        apart = np.diff(np.flatnonzero(known))
        if not apart.size or np.median(apart) > SELDOM_DAYS:
            return known
        usual = float(np.median(self.held_sd_l[known]))
        known &= self.held_sd_l <= table("reconcile")["plain within"].value * usual
        if not self.read_daily:
            return known
        moved = (np.nan_to_num(self.rain_mm) > 0.0) | self._busy
        return np.asarray(known & ~moved & ~np.r_[False, moved[:-1]])

    @property
    def _busy(self) -> NDArray[np.bool_]:
        """Days on which far more was drawn than on most."""
        counted = self.metered_l[np.isfinite(self.metered_l)]
        if not self.counted or not counted.size:
            return np.zeros(self.days, dtype=bool)
        most = table("reconcile")["busy day"].value * float(np.median(counted))
        return np.asarray(np.nan_to_num(self.metered_l) > most)

    def last(self, days: int) -> "Account":
        """The account of its last days."""
        cut: dict[str, Any] = {}
        for one in fields(self):
            value = getattr(self, one.name)
            cut[one.name] = value[-days:] if isinstance(value, np.ndarray) else value
        return Account(**cut)

    def without_drift(self, l_day: float) -> "Account":
        """The account where the gauges read so much more each day than there is."""
        return replace(self, held_l=self.held_l - l_day * np.arange(self.days))

    @property
    def months(self) -> NDArray[np.int64]:
        """1 to 12 of each day."""
        return months_of(self.dates)


def months_of(dates: DayArray) -> NDArray[np.int64]:
    """1 to 12 of each day."""
    return np.asarray(dates.astype("datetime64[M]").astype(int) % 12 + 1)


def account_of(site: Site, log: DailyLog, *, expected: Expected) -> Account:
    """The account of a log; TooLittleLogged where no tank's volume is known."""
    at = [k for k in range(len(log.tanks)) if np.isfinite(log.held_l[:, k]).sum() > 1]
    if not at:
        raise TooLittleLogged(_no_level(site))
    tanks = tuple(log.tanks[k] for k in at)
    reached = _reached(site, tanks)
    drawing = [use.name for use in uses_in_order(site) if reached & set(use.draws_from)]
    meters = counting(site, log.meters, among=drawing)
    counted = frozenset[str]().union(*meters.values())
    rain_mm, own = _rain(log, expected)
    wants = expected.use_l_day[months_of(log.dates) - 1]
    names = [use.name for use in uses_in_order(site)]
    assumed = tuple(name for name in drawing if name not in counted)
    return Account(
        dates=log.dates,
        tanks=tanks,
        roofs=tuple(roof for roof in drained_roofs(site) if roof.drains_to in _into(site, tanks)),
        capacity_l=sum(site.tank(name).usable_l for name in tanks),
        held_l=log.held_l[:, at].sum(axis=1),
        held_sd_l=np.sqrt((log.held_sd_l[:, at] ** 2).sum(axis=1)),
        read=log.read,
        rain_mm=rain_mm,
        own_rain=own,
        metered_l=log.metered_l[:, [log.meters.index(name) for name in meters]].sum(axis=1),
        seldom=is_seldom(log.spread_days[:, [log.meters.index(name) for name in meters]]),
        counted=tuple(name for name in drawing if name in counted),
        assumed=assumed,
        assumed_l=wants[:, [names.index(name) for name in assumed]].sum(axis=1),
        came_l=_came(site, log, at=at),
        open_l=_open(site, tanks) * expected.open_loss_mm[months_of(log.dates) - 1],
        read_daily=_read_daily(site, tanks),
        may_spill=_may_spill(site, log, rain_mm=rain_mm),
        may_lack=may_lack(site, log, assumed=assumed),
    )


def is_seldom(spread_days: FloatArray) -> bool:
    """Whether the figures of a meter are mostly those of more than a week."""
    return bool(spread_days.size and np.median(spread_days, axis=0).max() > WEEK)


def counting(
    site: Site, meters: Sequence[str], *, among: Sequence[str]
) -> dict[str, frozenset[str]]:
    """The meters that together count no use twice, the widest first, and the uses of each."""
    known = {one.name: one for one in gauges_of(site) if one.measures == "meter"}
    of = {name: counts(site, known[name]) & set(among) for name in meters if name in known}
    chosen: dict[str, frozenset[str]] = {}
    for name in sorted(of, key=lambda one: -len(of[one])):
        taken = frozenset[str]().union(*chosen.values())
        if of[name] and not of[name] & taken:
            chosen[name] = of[name]
    return chosen


def counts(site: Site, meter: Gauge) -> frozenset[str]:
    """The uses whose water a meter counts: as stated, else all behind its line or its tank."""
    if meter.uses:
        return frozenset(meter.uses)
    if any(lift.name == meter.of for lift in site.lifts):
        return frozenset()  # what it counts stays in the stores
    for line in site.lines:
        if line.name == meter.of:
            drawing = (use.name for use in site.uses if line.source in use.draws_from)
            return frozenset(line.serves or drawing)
    tanks = {meter.of} if meter.of else {tank.name for tank in site.tanks}
    return frozenset(use.name for use in site.uses if tanks & set(use.draws_from))


def _no_level(site: Site) -> str:
    shapeless = [tank.name for tank in site.tanks if tank.shape is None and not tank.is_sump]
    if shapeless:
        names = ", ".join(repr(name) for name in shapeless)
        return (
            f"The shape of tank {names} is not known, so that a level says no volume: give its "
            f"diameter and height, or a table of depths and volumes."
        )
    return (
        "No tank has levels in the log that are no further apart than a few days: read one with a "
        "stick or a sight tube every day or two."
    )


def _reached(site: Site, tanks: tuple[str, ...]) -> frozenset[str]:
    """The stores whose draws come out of these in the end."""
    return frozenset[str]().union(*(site.fed_from(name) for name in tanks))


def _into(site: Site, tanks: tuple[str, ...]) -> frozenset[str]:
    """These tanks and the sumps that are lifted into them."""
    lifted = {lift.source for lift in site.lifts if lift.target in tanks and lift.source != MAINS}
    return frozenset(tanks) | {name for name in lifted if site.tank(name).is_sump}


def _rain(log: DailyLog, expected: Expected) -> tuple[FloatArray, NDArray[np.bool_]]:
    own = np.isfinite(log.rain_mm)
    rain_mm = log.rain_mm.copy()
    at = (
        (log.dates - expected.dates[0]).astype(int)
        if expected.dates.size
        else np.full(own.size, -1)
    )
    there = ~own & (at >= 0) & (at < expected.dates.size)
    rain_mm[there] = expected.rain_mm[at[there]]
    return rain_mm, own


def _read_daily(site: Site, tanks: tuple[str, ...]) -> bool:
    """Whether somebody reads a tank by hand, at another hour than midnight or at none stated."""
    at = site.log.readings_at
    if at is not None and min(at, HOURS_A_DAY - at) <= BESIDE_MIDNIGHT_H:
        return False
    by_itself = {
        one.of for one in site.log.gauges if one.measures == "level" and one.how in BY_ITSELF
    }
    return not by_itself.issuperset(tanks)


def _came(site: Site, log: DailyLog, *, at: list[int]) -> FloatArray:
    came: FloatArray = np.nan_to_num(log.hauled_l[:, at]).sum(axis=1)
    if any(lift.source == MAINS for lift in site.lifts):
        came = came + np.nan_to_num(log.make_up_l)
    return came


def _open(site: Site, tanks: tuple[str, ...]) -> float:
    return sum(site.tank(name).open_area_m2 for name in tanks)


def may_lack(site: Site, log: DailyLog, *, assumed: tuple[str, ...]) -> NDArray[np.bool_]:
    """Days that begin or end with a tank near where one of these uses is cut, or near empty."""
    lacks = np.zeros(log.days, dtype=bool)
    near = table("reconcile")["full within"].value
    for k, name in enumerate(log.tanks):
        floor_l = _cut_below_l(site, site.tank(name), assumed=assumed)
        if floor_l is None:
            continue
        low = log.held_l[:, k] - near * log.held_sd_l[:, k] <= floor_l
        lacks |= low | np.r_[low[1:], False]
    return lacks


def _cut_below_l(site: Site, tank: Tank, *, assumed: tuple[str, ...]) -> float | None:
    """Where the first cut of a use without a meter comes; None where none draws or drains there."""
    draws = draws_from(site, tank, l_day={use.name: 0.0 for use in site.uses})
    unmetered = [draw for draw in draws if draw.name in assumed]
    edges = [
        edge for draw in unmetered for edge in (draw.stops_l, *(one for one, _ in draw.stages))
    ]
    if not unmetered and not any(roof.drains_to == tank.name for roof in site.roofs):
        return None
    return max(edges, default=0.0)


def _may_spill(site: Site, log: DailyLog, *, rain_mm: FloatArray) -> NDArray[np.bool_]:
    """Days on which all the rain on its roofs, nothing lost, would bring a tank to its overflow."""
    spills = np.zeros(log.days, dtype=bool)
    near = table("reconcile")["full within"].value
    wet = np.nan_to_num(rain_mm) > 0.0
    for k, name in enumerate(log.tanks):
        into = _into(site, (name,))
        area_m2 = sum(roof.plan_area_m2 for roof in drained_roofs(site) if roof.drains_to in into)
        room_l = site.tank(name).usable_l - log.held_l[:, k] - near * log.held_sd_l[:, k]
        spills |= wet & (area_m2 > 0.0) & ~(np.nan_to_num(rain_mm) * area_m2 < room_l)
    return spills
