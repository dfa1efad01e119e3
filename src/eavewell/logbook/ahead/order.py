"""When a load is to be ordered: by which day, at which level, and whether it fits."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from eavewell.logbook.ahead.fan import When, first_days, when
from eavewell.logbook.ahead.hauled_before import HauledBefore
from eavewell.logbook.ahead.no_rain import Brought, Span, days_down
from eavewell.site.hauling import Hauling
from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.storage.order_level import bought_floor_l, order_level_l
from eavewell.storage.stick import days_between, draws_from, level_m
from eavewell.tables import table


@dataclass(frozen=True, slots=True)
class Lead:
    """Ordering with one lead time.

    order_l, order_m : what the row holds, dead storage and all, and where that stands on the
               stick; order below it. order_m None where the tank's shape is unknown.
    by       : the day to order, with no load before: the level is down to it, and the load has
               room when it comes.
    today    : whether it is to be ordered today, in the middle of the years.
    no_rain_days : until then with no rain; None where the level is never reached.
    """

    days: int
    order_l: float
    order_m: float | None
    by: When
    today: bool
    no_rain_days: float | None


@dataclass(frozen=True, slots=True)
class Order:
    """One truck.

    fits_l    : most water in the row, dead storage and all, beside which a load has room; None
                where it never has. fits_m : on the stick. fits : the first day it has room.
    load_days : how long a load lasts at the ration of an almost empty tank; None unknown.
    own_leads : loads of the log by whose days the leads are; 0: those of the site file and the
                usual one of a drought. last_price : of the last load; None unknown.
    """

    to: str
    load_l: float
    safety_days: int
    normal: Lead
    slow: Lead
    fits_l: float | None
    fits_m: float | None
    fits: When
    load_days: float | None
    own_leads: int
    last_price: float | None


@dataclass(frozen=True, slots=True, eq=False)
class Levels:
    """Levels of the tanks with no load ordered, (day, tank, lane), and now, (tank,).

    day : of row 0 of the evenings. hauled : what the log knows of a tank's loads.
    brought : what is stated to come, by the tank's name.
    """

    held_l: FloatArray
    now_l: FloatArray
    day: date
    hauled: Mapping[str, HauledBefore]
    brought: Mapping[str, Sequence[Brought]]


def orders(site: Site, levels: Levels, *, l_day: Mapping[str, float]) -> tuple[Order, ...]:
    """Every truck of the site; l_day : what each use wants in a day, by its name."""
    return tuple(_order(site, truck, levels=levels, l_day=l_day) for truck in site.hauling)


def _order(site: Site, truck: Hauling, *, levels: Levels, l_day: Mapping[str, float]) -> Order:
    tank, at = site.tank(truck.to), [one.name for one in site.tanks].index(truck.to)
    level, now = levels.held_l[:, at], float(levels.now_l[at])
    fits_l = tank.usable_l - truck.load_l
    room = np.vstack([np.full(level.shape[1], now), level]) <= fits_l
    before = levels.hauled.get(truck.to, HauledBefore(0, None, None, None))
    usual = max(math.ceil(table("hauling")["lead in drought"].value), truck.lead_days)
    leads = (before.lead_days, usual if before.slow_days is None else before.slow_days)
    stick = _Stick(site, tank, truck, now, level, fits_l)
    normal, late = (_lead(stick, days, levels=levels, l_day=l_day) for days in leads)
    draws = draws_from(site, tank, l_day=l_day)
    low_l = bought_floor_l(site, tank, draws=draws)
    return Order(
        to=truck.to,
        load_l=truck.load_l,
        safety_days=truck.safety_days,
        normal=normal,
        slow=late,
        fits_l=tank.dead_storage_l + fits_l if fits_l >= 0.0 else None,
        fits_m=level_m(tank, fits_l) if fits_l >= 0.0 else None,
        fits=when(first_days(room), levels.day),
        load_days=days_between(draws, low_l + truck.load_l, low_l=low_l),
        own_leads=before.leads,
        last_price=before.last_price,
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Stick:
    """A truck's tank with what it holds now and in every evening and lane."""

    site: Site
    tank: Tank
    truck: Hauling
    now_l: float
    level_l: FloatArray
    fits_l: float


def _lead(of: _Stick, lead_days: int | None, *, levels: Levels, l_day: Mapping[str, float]) -> Lead:
    days = of.truck.lead_days if lead_days is None else lead_days
    order_l = order_level_l(of.site, of.truck, l_day=l_day, lead_days=lead_days)
    morning = np.vstack([np.full(of.level_l.shape[1], of.now_l), of.level_l])
    # The load comes so many nights after the order; past the run's end the last evening stands.
    arrives = np.minimum(np.arange(morning.shape[0]) + days, morning.shape[0] - 1)
    so = (morning < order_l) & (morning[arrives] <= of.fits_l)
    by = when(first_days(so), levels.day)
    draws = draws_from(of.site, of.tank, l_day=l_day)
    coming = levels.brought[of.truck.to]
    span = Span(order_l, of.tank.usable_l)
    wait = days_down(draws, max(of.now_l, order_l), span=span, brought=coming)
    return Lead(
        days=days,
        order_l=of.tank.dead_storage_l + order_l,
        order_m=level_m(of.tank, order_l),
        by=by,
        today=by.middle == levels.day,
        no_rain_days=wait,
    )
