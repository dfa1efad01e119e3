"""A simulated truth: the engine run day by day with what is known, and the log that it would leave.

Rain, noise and use are invented. Noise as stated: level sd 1 % of the capacity (or 5 mm of stick),
daily use CV 30 %, 2 % of the readings missing, one meter reset a year; rain gauge CV 5 %, meter
within 1 %. Every run is seeded.
"""

from dataclasses import dataclass, replace
from datetime import UTC
from itertools import pairwise
from pathlib import Path

import numpy as np

from eavewell.catchment.runoff import runoff_share
from eavewell.files.site.reader import site_of_text
from eavewell.logbook.daily_log import DailyLog
from eavewell.logbook.readings.gauges import gauges_of
from eavewell.logbook.readings.midnights import midnights_utc
from eavewell.logbook.reconciled.account import Expected
from eavewell.site.entry import Load
from eavewell.site.gauge import Gauge, Log
from eavewell.site.roof import Sheds
from eavewell.site.tank_shape import UprightCylinder
from eavewell.site.use import Use
from eavewell.site.want import People, Washing
from eavewell.storage.arrangement import arrange, lanes_as_drawn
from eavewell.storage.balance import run
from eavewell.storage.reliability import monthly_means
from eavewell.storage.series import series, uses_in_order
from eavewell.storage.stick import level_m
from eavewell.weather.days import Days

LEAK = "leak"
FIRST = "2001-01-01"
EXAMPLE = Path(__file__).parents[2] / "examples" / "whole-house" / "site.toml"


@dataclass(frozen=True)
class Truth:
    """What is true of the site and not in its file.

    sheds : of what the finish's usual share says. flush : of the diverters' stated volume.
    use : of what the site file says. leak_from : a day index; leak_l_day : from `leak_of`.
    """

    sheds: float = 1.0
    flush: float = 1.0
    use: float = 1.0
    use_cv: float = 0.3
    leak_l_day: float = 0.0
    leak_from: int = 0
    leak_of: str = ""


@dataclass(frozen=True)
class Noise:
    """What stands between the truth and the log.

    level_share : sd of a level, of the capacity. stick_m : sd of a stick, in its stead.
    drift_l_day : the level gauge reads ever more of this too much. gap : days without readings.
    says_share  : the noise that the log states, of the true one.
    """

    level_share: float = 0.01
    stick_m: float | None = None
    missing: float = 0.02
    resets: bool = True
    meter: float = 0.01
    rain_cv: float = 0.05
    drift_l_day: float = 0.0
    gap: tuple[int, int] = (0, 0)
    metered: bool = True
    says_share: float = 1.0


@dataclass(frozen=True)
class Simulated:
    """held_l [day, tank], supplied_l [day, use], rain_mm, spilled_l : the truth of each day."""

    site: object
    log: DailyLog
    days: Days
    held_l: np.ndarray
    supplied_l: np.ndarray
    rain_mm: np.ndarray
    spilled_l: np.ndarray
    level_sd_l: np.ndarray
    resets_on: tuple[int, ...]


def small(making, *, area_m2=150.0, each_l=50.0, people=3, diameter_m=3.0, height_m=2.0):
    """One roof with a diverter, one round tank and a household behind one meter; all invented."""
    from eavewell.site.first_flush import FirstFlush

    roof = replace(making.roof(area_m2), first_flush=FirstFlush(depth_mm=0.5))
    tank = making.tank(
        None, shape=UprightCylinder(diameter_m, height_m), outlet_m=0.1, overflow_m=height_m - 0.1
    )
    use = Use("house", "indoor", (People(people, each_l),), ("tank",))
    gauges = (
        Gauge("stick", "level", of="tank", how="stick"),
        Gauge("meter", "meter", uses=("house",), how="register"),
        Gauge("rain", "rain", how="rain gauge"),
    )
    log = Log(zone="America/Chicago", readings_at=0.0, gauges=gauges)
    return making.site(roofs=(roof,), tanks=(tank,), uses=(use,), goals=(), log=log)


def whole_house():
    """The example of that name with gauges on both tanks and meters on both uses."""
    site = site_of_text(EXAMPLE.read_text(encoding="utf-8"))
    gauges = (
        Gauge("main stick", "level", of="main", how="stick"),
        Gauge("header tube", "level", of="header", how="sight tube"),
        Gauge("house meter", "meter", of="house water", uses=("household",), how="register"),
        Gauge("garden meter", "meter", of="garden line", uses=("garden",), how="register"),
        Gauge("rain", "rain", how="rain gauge"),
    )
    return replace(site, log=Log(zone="America/Chicago", readings_at=0.0, gauges=gauges))


def with_hand_gauges(site):
    """The site with the sticks and the rain gauge that every site has, written out."""
    return replace(site, log=replace(site.log, gauges=gauges_of(site)))


def weather(years=1, seed=5, wet=0.2):
    """Invented days: a wetter winter, exponential depths."""
    rng = np.random.default_rng(seed)
    count = round(years * 365)
    season = wet + 0.1 * np.cos(np.arange(count) / 365.25 * 2 * np.pi)
    rain = np.where(rng.random(count) < season, rng.exponential(9.0, count), 0.0)
    return days_of(rain)


def days_of(rain_mm):
    dates = np.datetime64(FIRST) + np.arange(len(rain_mm))
    warm = np.full(len(rain_mm), 25.0)
    return Days(dates, np.asarray(rain_mm, float), np.full(len(rain_mm), 4.0), warm, warm - 10.0)


def expected(site, days):
    """What a design on these days would expect of each month."""
    water = series(site, days)
    wants = [monthly_means(column, water.dates) for column in water.demand_l.T]
    return Expected(np.stack(wants, axis=1), np.zeros(12), days.dates, days.rain_mm)


def count(what, says):
    """Print a count that stands in docs/logbook_proof.md."""
    print(f"| {what} | {says} |")


def simulate(site, days, *, truth=None, noise=None, seed=1):
    """Run the truth and read it as the gauges would; every tank starts half full."""
    truth, noise = truth or Truth(), noise or Noise()
    rng = np.random.default_rng(seed)
    real = _real(site, truth)
    wants = [_wanted(want, truth, rng=rng) for want in series(site, days).demand_l.T]
    if truth.leak_l_day:
        lost = np.where(np.arange(days.count) >= truth.leak_from, truth.leak_l_day, 0.0)
        wants.insert(0, lost)
    flows = series(real, days, wants=wants)
    lanes = lanes_as_drawn(real)
    lanes.start_l[:] = 0.5 * lanes.usable_l
    kept = run(arrange(real, flows, lanes=lanes), keep_lane=0).every_day
    held = np.vstack([lanes.start_l[:, 0], kept.level_l[:-1]])
    names = [use.name for use in uses_in_order(real)]
    supplied = kept.supplied_l[:, [k for k, name in enumerate(names) if name != LEAK]]
    return _read(site, days, held=held, supplied=supplied, kept=kept, noise=noise, rng=rng)


def _real(site, truth):
    roofs = tuple(_real_roof(roof, truth) for roof in site.roofs)
    uses = site.uses
    if truth.leak_l_day:
        of = truth.leak_of or site.tanks[0].name
        leak = Use(LEAK, "outdoor", (Washing(LEAK, truth.leak_l_day),), (of,), priority=0)
        uses = (leak, *uses)
    return replace(site, roofs=roofs, uses=uses)


def _real_roof(roof, truth):
    share = runoff_share(roof).value * truth.sheds
    flush = roof.first_flush
    if flush is not None:
        fields = {
            name: getattr(flush, name) * truth.flush
            for name in ("depth_mm", "volume_l")
            if getattr(flush, name) is not None
        }
        flush = replace(flush, **fields)
    return replace(roof, sheds=Sheds(share, share, share), first_flush=flush)


def _wanted(want_l, truth, *, rng):
    """Daily use with its CV, never below nothing: log-normal about what the file says."""
    spread = np.sqrt(np.log1p(truth.use_cv**2))
    return want_l * truth.use * rng.lognormal(-(spread**2) / 2.0, spread, want_l.size)


def _read(site, days, *, held, supplied, kept, noise, rng):
    tanks = [tank for tank in site.tanks if not tank.is_sump]
    at = [k for k, tank in enumerate(site.tanks) if not tank.is_sump]
    sd = np.array([_sd_l(tank, noise) for tank in tanks])
    count = days.count
    drift = noise.drift_l_day * np.arange(count)[:, None] * (np.arange(len(tanks)) == 0)
    said = held[:, at] + drift + rng.normal(0.0, 1.0, (count, len(tanks))) * sd
    read = rng.random((count, len(tanks))) >= noise.missing
    read[slice(*noise.gap)] = False
    read[0] = True
    filled, spread = _interpolated(said, read, sd=sd * noise.says_share)
    meters = [one for one in site.log.gauges if one.measures == "meter"]
    counted, resets = _metered(site, supplied, noise=noise, rng=rng)
    if not noise.metered:
        meters, counted = [], counted[:, :0]
    haul = np.zeros((count, len(tanks)))
    for t, truck in enumerate(site.hauling):
        haul[:, [one.name for one in tanks].index(truck.to)] += kept.loads[:, t] * truck.load_l
    seen = days.rain_mm * (1.0 + noise.rain_cv * rng.normal(0.0, 1.0, count))
    log = DailyLog(
        dates=days.dates,
        tanks=tuple(tank.name for tank in tanks),
        held_l=filled,
        held_sd_l=spread,
        read=read.all(axis=1),
        meters=tuple(one.name for one in meters),
        metered_l=counted,
        spread_days=np.ones_like(counted),
        make_up_l=np.zeros(count),
        hauled_l=haul,
        rain_mm=np.maximum(seen, 0.0),
        spans_dst=np.zeros(count, dtype=bool),
    )
    return Simulated(
        site, log, days, held[:, at], supplied, days.rain_mm, kept.spilled_l, sd, resets
    )


def _sd_l(tank, noise):
    if noise.stick_m is None:
        return noise.level_share * tank.usable_l
    middle = level_m(tank, tank.usable_l / 2.0)
    return tank.usable_l / 2.0 / (middle - (tank.outlet_m or 0.0)) * noise.stick_m


def _interpolated(said, read, *, sd):
    """Days without a reading lie on the line between their neighbours; nan past five days."""
    days = np.arange(len(said))
    filled, spread = said.copy(), np.broadcast_to(sd, said.shape).copy()
    for t in range(said.shape[1]):
        at = np.flatnonzero(read[:, t])
        filled[:, t] = np.interp(days, at, said[at, t])
        spread[~read[:, t], t] *= 3.0
        far = [slice(a + 1, b) for a, b in pairwise([*at, len(said)]) if b - a > 5]
        for one in far:
            filled[one, t] = spread[one, t] = np.nan
    return filled, spread


def _metered(site, supplied, *, noise, rng):
    """What each meter counts; the day on which it was set back is not known."""
    names = [use.name for use in uses_in_order(site)]
    meters = [one for one in site.log.gauges if one.measures == "meter"]
    columns, resets = [], []
    for one in meters:
        whole = supplied[:, [names.index(use) for use in one.uses]].sum(axis=1)
        counted = whole * (1.0 + rng.uniform(-noise.meter, noise.meter))
        if noise.resets:
            on = rng.choice(len(whole), max(1, len(whole) // 365), replace=False)
            counted[on] = np.nan
            resets += on.tolist()
        columns.append(counted)
    return np.stack(columns, axis=1), tuple(resets)


def read_by_hand(made, keeping, *, hour=7.0, stick_m=0.005, seed=1, loads=True):
    """The readings of a person who reads sticks and meters at one hour of each day.

    Water between two midnights moves evenly; the rain gauge is emptied just before midnight; each
    meter is set back once to nothing; loads are written down or not.
    """
    rng, kept = np.random.default_rng(seed), keeping.InMemory()
    site, days = made.site, made.days
    begins = midnights_utc(days.dates[0].item(), days.count, zone=site.log.zone)
    at = begins[:-1] + np.timedelta64(round(hour * 3_600_000), "ms")
    share = hour / 24.0
    after = np.vstack([made.held_l[1:], made.held_l[-1:]])
    held = made.held_l + share * (after - made.held_l)
    tanks = [tank for tank in site.tanks if not tank.is_sump]
    names = [use.name for use in uses_in_order(site)]
    for one in site.log.gauges:
        if one.measures == "level":
            k = [tank.name for tank in tanks].index(one.of)
            deep = np.array([level_m(tanks[k], max(float(x), 0.0)) for x in held[:, k]])
            kept.add_arrays(one.name, at, deep + rng.normal(0.0, stick_m, deep.size))
        elif one.measures == "meter":
            daily = made.supplied_l[:, [names.index(use) for use in one.uses]].sum(axis=1)
            total = 1e5 + np.cumsum(daily) - (1.0 - share) * daily
            back = rng.integers(days.count // 4, 3 * days.count // 4)
            total[back:] -= total[back - 1]
            kept.add_arrays(one.name, at, total)
        else:
            evening = begins[1:] - np.timedelta64(60_000, "ms")
            kept.add_arrays(one.name, evening, made.log.rain_mm)
    for day, k in np.argwhere(made.log.hauled_l > 0.0) if loads else ():
        noon = (begins[day] + np.timedelta64(12, "h")).astype("datetime64[us]").item()
        came = noon.replace(tzinfo=UTC)
        kept.add(Load(tanks[k].name, came, came, float(made.log.hauled_l[day, k])))
    return kept
