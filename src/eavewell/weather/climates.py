"""Three invented climates for trying things out; no gauge ever measured them."""

from collections.abc import Mapping
from datetime import date

import numpy as np

from eavewell.faults import BadSite
from eavewell.site.rain_record import DayArray, FloatArray, Mark, RainRecord
from eavewell.tables import rows
from eavewell.weather.limits import outside, refuse
from eavewell.weather.temperature import BoolArray, month_of, through_the_year
from eavewell.weather.wet_dry_chain import (
    RainMonth,
    WetDryChain,
    chain_from_table,
    generate,
    scaled,
)

LAST_YEAR = 2025  # the made-up record ends here, in the past whenever it is read
LEAST_SPAN_C = 1.0


def climate_names() -> tuple[str, ...]:
    """Names of the invented climates, as the site file writes them."""
    return tuple(row["climate"] for row in rows("climates/climates"))


def climate_record(name: str, years: int = 60, *, seed: int = 1) -> RainRecord:
    """Make up a daily record of an invented climate, ending on 31 December 2025.

    name  : one of climate_names(); another name raises BadSite with the three.
    years : whole calendar years, 1 to 500.
    seed  : the same seed gives the same record.
    Years hang together: each carries part of the wetness of the one before, so that droughts
    last several years. Wet days are cooler. Monthly means are those of the table, source
    'invented'.
    """
    climate = _climate(name)
    refuse(outside("length of a made-up record", years, low=1, high=500, unit="years"))
    rng = np.random.default_rng(seed)
    months = rows(f"climates/{name}")
    chain = chain_from_table([_month(row) for row in months])
    first_day = date(LAST_YEAR + 1 - years, 1, 1)
    rain_mm = _rain(
        chain, _yearly_wetness(climate, years, rng=rng), first_year=first_day.year, rng=rng
    )
    dates = np.datetime64(first_day, "D") + np.arange(rain_mm.size)
    warmer_c = _warmer_c(
        climate, rain_mm > 0.0, share=chain.wet_share[month_of(dates) - 1], rng=rng
    )
    tmax_c = _curve(months, "tmax_c", dates=dates) + warmer_c
    # Wet days cool the afternoon; the night keeps half of it.
    tmin_c = _curve(months, "tmin_c", dates=dates) + warmer_c / 2.0
    return RainRecord(
        f"{name} (invented climate)",
        first_day,
        rain_mm,
        np.full(rain_mm.size, Mark.MEASURED, dtype=np.uint16),
        tmax_c=tmax_c,
        tmin_c=np.minimum(tmin_c, tmax_c - LEAST_SPAN_C),
        latitude=float(climate["latitude"]),
        elevation_m=float(climate["elevation_m"]),
        invented=True,
        notes=(f"'{name}' is an invented climate for trying things out: no gauge measured it.",),
    )


def _climate(name: str) -> Mapping[str, str]:
    known = {row["climate"]: row for row in rows("climates/climates")}
    if name not in known:
        raise BadSite(
            f"there is no climate '{name}'; the invented ones are {', '.join(known)}. "
            "For a real place give a rain record."
        )
    return known[name]


def _month(row: Mapping[str, str]) -> RainMonth:
    return RainMonth(*(float(row[key]) for key in ("wet_days", "depth_mm", "mean_wet_day_mm")))


def _curve(months: tuple[Mapping[str, str], ...], column: str, *, dates: DayArray) -> FloatArray:
    return through_the_year(np.array([float(row[column]) for row in months]), dates)


def _carried(count: int, *, carry: float, rng: np.random.Generator) -> FloatArray:
    """Normal deviates of spread 1, each carrying a share of the one before."""
    fresh = rng.standard_normal(count) * np.sqrt(1.0 - carry**2)
    value = float(rng.standard_normal())
    walked = []
    for new in fresh.tolist():
        value = carry * value + new
        walked.append(value)
    return np.array(walked)


def _yearly_wetness(
    climate: Mapping[str, str], years: int, *, rng: np.random.Generator
) -> FloatArray:
    """Factor on each year's rain, log-normal with mean 1, shape (year,)."""
    spread = float(climate["wetness_spread"])
    deviates = _carried(years, carry=float(climate["wetness_carry"]), rng=rng)
    return np.asarray(np.exp(spread * deviates - spread**2 / 2.0))


def _rain(
    chain: WetDryChain, wetness: FloatArray, *, first_year: int, rng: np.random.Generator
) -> FloatArray:
    """Rain year by year; a year's wetness goes half into wet days and half into their depth."""
    made = []
    for year, factor in enumerate(np.sqrt(wetness).tolist(), start=first_year):
        days = (date(year + 1, 1, 1) - date(year, 1, 1)).days
        of_year = scaled(chain, depth_factor=factor, wet_day_factor=factor)
        made.append(generate(of_year, date(year, 1, 1), days=days, seed=rng))
    return np.concatenate(made)


def _warmer_c(
    climate: Mapping[str, str], wet: BoolArray, *, share: FloatArray, rng: np.random.Generator
) -> FloatArray:
    """Warmth of a day above its season; wet days cooler, the month's mean kept."""
    cooler_c = float(climate["wet_day_cooler_c"])
    spells = _carried(wet.size, carry=float(climate["air_carry"]), rng=rng)
    return float(climate["air_spread_c"]) * spells - cooler_c * (wet - share)
