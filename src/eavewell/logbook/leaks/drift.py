"""A level gauge told by the overflow: a tank that surely filled stands at a known level."""

from dataclasses import dataclass

import numpy as np

from eavewell.catchment.runoff import roof_water
from eavewell.logbook.daily_log import DailyLog
from eavewell.logbook.reconciled.account import Account, months_of
from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.storage.series import drained_roofs
from eavewell.tables import table


@dataclass(frozen=True, slots=True)
class Drift:
    """How a tank's gauge strays from its overflow, from so many times full.

    l_day : by which it reads more each day, low to high its range. at_full_l : what it read too
    much when last full. drifts : True where it is beyond chance.
    """

    tank: str
    l_day: float
    low_l_day: float
    high_l_day: float
    at_full_l: float
    events: int
    drifts: bool


def drifts_of(site: Site, log: DailyLog, *, account: Account) -> tuple[Drift, ...]:
    """Each gauged tank that was full often enough, far enough apart, to tell."""
    found = (
        _drift(log, k, over=_when_full(site, log, account=account, k=k))
        for k, name in enumerate(log.tanks)
        if name in account.tanks
    )
    return tuple(one for one in found if one is not None)


@dataclass(frozen=True, slots=True, eq=False)
class _Full:
    """Rows of midnights after the tank was full, what the gauge read too much, and its error."""

    row: FloatArray
    over_l: FloatArray
    sd_l: FloatArray


def _when_full(site: Site, log: DailyLog, *, account: Account, k: int) -> _Full:
    tank = site.tank(log.tanks[k])
    rain_mm, came = np.nan_to_num(account.rain_mm), np.zeros(log.days)
    for roof in drained_roofs(site):
        if roof.drains_to == tank.name:
            water = roof_water(roof, rain_mm, months=months_of(log.dates))
            came += roof.plan_area_m2 * water.runoff_mm
    drawn = np.nan_to_num(account.metered_l) * bool(account.counted) + account.assumed_l
    lifted = sum(lift.limit_l_day or 0.0 for lift in site.lifts if lift.source == tank.name)
    drawn = drawn + lifted / 2.0
    room = tank.usable_l - log.held_l[:, k] + drawn
    figures = table("leaks")
    spare = figures["full for certain"].value * tank.usable_l
    full = (came > 0.0) & (came >= figures["surely full"].value * (room + spare))
    rows = np.flatnonzero(full[:-1] & log.read[1:] & np.isfinite(log.held_l[1:, k])) + 1
    drawn = drawn[rows - 1]
    over = log.held_l[rows, k] - (tank.usable_l - drawn / 2.0)
    sd = np.sqrt(log.held_sd_l[rows, k] ** 2 + drawn**2 / 12.0)
    return _Full(rows.astype(float), over, sd)


def _drift(log: DailyLog, k: int, *, over: _Full) -> Drift | None:
    figures = table("leaks")
    if over.row.size < figures["full events"].value:
        return None
    if float(np.ptp(over.row)) < figures["drift apart"].value:
        return None
    weight = 1.0 / over.sd_l**2
    middle = float(np.average(over.row, weights=weight))
    t = over.row - middle
    spread = float((weight * t * t).sum())
    l_day = float((weight * t * over.over_l).sum()) / spread
    error = spread**-0.5
    level = float(np.average(over.over_l, weights=weight))
    half = table("reconcile")["range"].value * error
    return Drift(
        tank=log.tanks[k],
        l_day=l_day,
        low_l_day=l_day - half,
        high_l_day=l_day + half,
        at_full_l=level + l_day * float(t[-1]),
        events=int(over.row.size),
        drifts=abs(l_day) > figures["alarm"].value * error,
    )
