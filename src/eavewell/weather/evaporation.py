"""Reference evaporation of grass: FAO-56 Penman-Monteith, Hargreaves, and a monthly table."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from eavewell.faults import Fault
from eavewell.site.place import Place
from eavewell.site.rain_record import DayArray, FloatArray, RainRecord
from eavewell.tables import table
from eavewell.weather.air import (
    mean_saturation_kpa,
    psychrometric_kpa_c,
    saturation_slope_kpa_c,
)
from eavewell.weather.limits import crossed, figures, outside, refuse
from eavewell.weather.sun import extraterrestrial_mj_m2
from eavewell.weather.temperature import month_of, temperatures


@dataclass(frozen=True, slots=True, eq=False)
class Evaporation:
    """Reference evaporation of every day of a record, and where it comes from.

    et0_mm : shape (day,), no NaN; all zero where the method is "unknown".
    method : "hargreaves", "monthly" or "unknown".
    says   : a sentence for the report.
    """

    et0_mm: FloatArray
    method: Literal["hargreaves", "monthly", "unknown"]
    says: str


def et0_mm_penman_monteith_fao56(
    tmax_c: ArrayLike,
    tmin_c: ArrayLike,
    *,
    net_radiation_mj_m2: ArrayLike,
    vapour_kpa: ArrayLike,
    wind_2m_m_s: ArrayLike,
    pressure_kpa: ArrayLike,
) -> FloatArray:
    """Reference evaporation of a day by Penman-Monteith; fao56 eq. 6, soil heat taken as nil.

    net_radiation_mj_m2 : from weather.sun, out of measured sun or sunshine hours.
    vapour_kpa          : from weather.air, out of dew point, wet bulb or relative humidity.
    wind_2m_m_s         : from weather.air, out of wind at any height.
    pressure_kpa        : from weather.air, out of the elevation.
    Dew is not counted: the result is never below zero. Missing values (NaN) stay missing.
    """
    refuse(crossed(tmax_c, tmin_c), outside("wind", wind_2m_m_s, low=0.0, high=120.0, unit="m/s"))
    t = (figures(tmax_c) + figures(tmin_c)) / 2.0
    u2, gamma = figures(wind_2m_m_s), psychrometric_kpa_c(pressure_kpa)
    slope, deficit = (
        saturation_slope_kpa_c(t),
        mean_saturation_kpa(tmax_c, tmin_c) - figures(vapour_kpa),
    )
    sun = _mm_per_mj() * slope * figures(net_radiation_mj_m2)
    drying = gamma * 900.0 / (t + 273.0) * u2 * deficit
    return np.maximum((sun + drying) / (slope + gamma * (1.0 + 0.34 * u2)), 0.0)


def et0_mm_hargreaves_fao56(
    tmax_c: ArrayLike, tmin_c: ArrayLike, *, dates: DayArray, latitude: float
) -> FloatArray:
    """Reference evaporation of a day from its temperatures and the latitude; fao56 eq. 52.

    latitude : -90 to 90 degrees, north positive. A result below zero, in deep frost, is nil.
    """
    refuse(
        crossed(tmax_c, tmin_c),
        outside("warmest of the day", tmax_c, low=-90.0, high=60.0, unit="C"),
        outside("coldest of the day", tmin_c, low=-90.0, high=60.0, unit="C"),
    )
    tmax, tmin = figures(tmax_c), figures(tmin_c)
    above_mm = _mm_per_mj() * extraterrestrial_mj_m2(dates, latitude=latitude)
    return np.maximum(0.0023 * ((tmax + tmin) / 2.0 + 17.8) * np.sqrt(tmax - tmin) * above_mm, 0.0)


def et0_mm_monthly(dates: DayArray, twelve_mm_day: Sequence[float]) -> FloatArray:
    """Reference evaporation from a table of twelve monthly means, in mm/day, January first."""
    if len(twelve_mm_day) != 12:
        refuse([Fault(f"a monthly evaporation table has 12 values, not {len(twelve_mm_day)}.")])
    refuse(outside("monthly evaporation", twelve_mm_day, low=0.0, high=30.0, unit="mm/day"))
    return figures(twelve_mm_day)[month_of(dates) - 1]


def et0_mm(
    record: RainRecord, place: Place, *, monthly: Sequence[float] | None = None
) -> Evaporation:
    """Reference evaporation of every day of a record, by the best method its columns allow.

    place   : its latitude rules; where unknown, that of the rain gauge.
    monthly : twelve means in mm/day, for a record without temperatures or latitude.
    """
    latitude = record.latitude if place.latitude is None else place.latitude
    air = temperatures(record)
    if air is not None and latitude is not None:
        depth_mm = et0_mm_hargreaves_fao56(
            air.tmax_c, air.tmin_c, dates=record.dates, latitude=latitude
        )
        return Evaporation(depth_mm, "hargreaves", _says_hargreaves(float(air.filled.mean())))
    if monthly is not None:
        says = "Evaporation from a table of twelve monthly means; hot dry spells are not seen."
        return Evaporation(et0_mm_monthly(record.dates, monthly), "monthly", says)
    return Evaporation(np.zeros(record.days), "unknown", _says_unknown(latitude))


def _mm_per_mj() -> float:
    return table("evaporation")["mm_per_mj"].value


def _says_hargreaves(filled_share: float) -> str:
    says = "Evaporation from daily temperatures and latitude (Hargreaves, FAO-56 eq. 52)"
    if filled_share == 0.0:
        return says + "."
    return f"{says}; {filled_share:.1%} of days without temperatures took those of their season."


def _says_unknown(latitude: float | None) -> str:
    lacks = "temperatures all year round" if latitude is not None else "latitude or temperatures"
    return (
        f"Evaporation unknown and taken as nil: the record has no {lacks}. Give a record with "
        "daily temperatures and the place's latitude, or twelve monthly means in mm/day."
    )
