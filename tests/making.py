"""Small made-up sites, days and records, for arithmetic on paper; everything here is invented."""

from dataclasses import replace
from datetime import date

import numpy as np

from eavewell.site.goal import Goal
from eavewell.site.place import Place
from eavewell.site.rain import Rain
from eavewell.site.rain_record import RainRecord
from eavewell.site.roof import Plane, Roof
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.site.use import Use
from eavewell.site.want import Washing
from eavewell.storage.series import Series
from eavewell.weather.days import Days


def roof(area_m2=10.0, to="tank", name="roof"):
    return Roof(name, (Plane("all", area_m2),), "metal", to)


def tank(usable_l=200.0, name="tank", **fields):
    return Tank(name, stated_l=usable_l, **{"material": "stainless steel"} | fields)


def use(each_l=8.0, name="house", **fields):
    """A use that wants the same on every day."""
    fields = {"end_use": "indoor", "draws_from": ("tank",)} | fields
    return Use(name, wants=(Washing(name, each_l),), **fields)


def no_dry_day(name="house"):
    return Goal(name, "dry_days_in_worst_spell", 0.0)


def site(*, roofs=None, tanks=None, uses=None, goals=None, **fields):
    """One roof, one tank and one use with no dry day, but for what is given."""
    uses = (use(),) if uses is None else uses
    tanks = (tank(),) if tanks is None else tanks
    whole = Site(
        name="made up",
        place=Place(30.0, -98.0, 400.0),
        rain=Rain(record="made up"),
        roofs=(roof(to=tanks[0].name),) if roofs is None else roofs,
        tanks=tanks,
        uses=uses,
        goals=tuple(no_dry_day(one.name) for one in uses) if goals is None else goals,
    )
    return replace(whole, **fields)


def every_tenth_day(days=3650, depth_mm=10.0, first=0):
    """Depth on every tenth day from row `first` on."""
    rain_mm = np.zeros(days)
    rain_mm[first::10] = depth_mm
    return rain_mm


def dates(count, first="2001-01-01"):
    return np.datetime64(first) + np.arange(count)


def series(runoff_mm, demand_l, first="2001-01-01"):
    """Days with this depth from every roof and this want of every use; columns or one column."""
    runoff, demand = (_columns(values) for values in (runoff_mm, demand_l))
    count = max(len(runoff), len(demand))
    runoff = np.broadcast_to(runoff, (count, runoff.shape[1])).copy()
    demand = np.broadcast_to(demand, (count, demand.shape[1])).copy()
    return Series(dates(count, first), runoff, demand, np.zeros(count))


def _columns(values):
    array = np.asarray(values, dtype=float)
    return array if array.ndim == 2 else array.reshape(-1, 1)


def days(rain_mm, first="2001-01-01"):
    return Days(dates(len(rain_mm), first), np.asarray(rain_mm, dtype=float), np.ones(len(rain_mm)))


def record(rain_mm, first=date(2001, 1, 1), **fields):
    rain_mm = np.asarray(rain_mm, dtype=float)
    marks = np.where(np.isnan(rain_mm), 1, 0).astype(np.uint16)
    return RainRecord("made up", first, rain_mm, marks, **fields)


def wet_and_dry(years, seed=5):
    """Invented rain with wet and dry seasons: a third of the days wet in winter, few in summer."""
    rng = np.random.default_rng(seed)
    count = round(years * 365.25)
    season = 0.2 + 0.15 * np.cos(np.arange(count) / 365.25 * 2 * np.pi)
    return np.where(rng.random(count) < season, rng.exponential(9.0, count), 0.0)
