"""Air: pressure, vapour and wind, as FAO-56 needs them (source fao56; symbols as there).

Every function takes single values or arrays that broadcast; missing values (NaN) stay missing.
"""

import numpy as np
from numpy.typing import ArrayLike

from eavewell.faults import Fault
from eavewell.site.rain_record import FloatArray
from eavewell.tables import table
from eavewell.weather.limits import crossed, figures, outside, refuse


def air_pressure_kpa(elevation_m: ArrayLike) -> FloatArray:
    """Mean air pressure at a height above sea level, -500 to 9,000 m; fao56 eq. 7.

    >>> round(float(air_pressure_kpa(1800.0)), 1)
    81.8
    """
    refuse(outside("elevation", elevation_m, low=-500.0, high=9000.0, unit="m"))
    z = figures(elevation_m)
    return np.asarray(101.3 * ((293.0 - 0.0065 * z) / 293.0) ** 5.26)


def psychrometric_kpa_c(pressure_kpa: ArrayLike) -> FloatArray:
    """Psychrometric constant at an air pressure; fao56 eq. 8."""
    return 0.665e-3 * figures(pressure_kpa)


def saturation_kpa(air_c: ArrayLike) -> FloatArray:
    """Vapour pressure of saturated air, -90 to 60 C; fao56 eq. 11."""
    refuse(outside("air temperature", air_c, low=-90.0, high=60.0, unit="C"))
    t = figures(air_c)
    return np.asarray(0.6108 * np.exp(17.27 * t / (t + 237.3)))


def mean_saturation_kpa(tmax_c: ArrayLike, tmin_c: ArrayLike) -> FloatArray:
    """Day's mean vapour pressure of saturated air from its warmest and coldest; fao56 eq. 12."""
    return (saturation_kpa(tmax_c) + saturation_kpa(tmin_c)) / 2.0


def saturation_slope_kpa_c(air_c: ArrayLike) -> FloatArray:
    """Slope of the saturation curve at an air temperature; fao56 eq. 13."""
    t = figures(air_c)
    return 4098.0 * saturation_kpa(t) / (t + 237.3) ** 2


def vapour_kpa_from_dew_point(dew_c: ArrayLike) -> FloatArray:
    """Vapour pressure from the dew point; fao56 eq. 14.

    Where nothing on humidity is known the day's coldest stands for the dew point, over moist
    ground (fao56 eq. 48).
    """
    return saturation_kpa(dew_c)


def vapour_kpa_from_wet_bulb(
    dry_c: ArrayLike, wet_c: ArrayLike, *, pressure_kpa: ArrayLike
) -> FloatArray:
    """Vapour pressure from a ventilated (Asmann) pair of thermometers; fao56 eq. 15 and 16."""
    refuse(crossed(dry_c, wet_c))
    gamma = table("evaporation")["ventilated_psychrometer"].value * figures(pressure_kpa)
    drop_c = figures(dry_c) - figures(wet_c)
    return np.asarray(saturation_kpa(wet_c) - gamma * drop_c)


def vapour_kpa_from_humidity_range(
    tmax_c: ArrayLike, tmin_c: ArrayLike, *, highest_percent: ArrayLike, lowest_percent: ArrayLike
) -> FloatArray:
    """Vapour pressure from the day's highest and lowest relative humidity; fao56 eq. 17."""
    refuse(_humidity(highest_percent), _humidity(lowest_percent), crossed(tmax_c, tmin_c))
    highest, lowest = figures(highest_percent) / 100.0, figures(lowest_percent) / 100.0
    return np.asarray((saturation_kpa(tmin_c) * highest + saturation_kpa(tmax_c) * lowest) / 2.0)


def vapour_kpa_from_highest_humidity(tmin_c: ArrayLike, highest_percent: ArrayLike) -> FloatArray:
    """Vapour pressure from the day's highest relative humidity alone; fao56 eq. 18."""
    refuse(_humidity(highest_percent))
    return np.asarray(saturation_kpa(tmin_c) * figures(highest_percent) / 100.0)


def vapour_kpa_from_mean_humidity(
    tmax_c: ArrayLike, tmin_c: ArrayLike, *, mean_percent: ArrayLike
) -> FloatArray:
    """Vapour pressure from the day's mean relative humidity, the weakest form; fao56 eq. 19."""
    refuse(_humidity(mean_percent), crossed(tmax_c, tmin_c))
    return np.asarray(mean_saturation_kpa(tmax_c, tmin_c) * figures(mean_percent) / 100.0)


def wind_2m_m_s(wind_m_s: ArrayLike, height_m: float) -> FloatArray:
    """Wind at 2 m above grass from wind at another height, 0.5 to 200 m; fao56 eq. 47."""
    refuse(
        outside("wind", wind_m_s, low=0.0, high=120.0, unit="m/s"),
        outside("height of the wind gauge", height_m, low=0.5, high=200.0, unit="m"),
    )
    return np.asarray(figures(wind_m_s) * 4.87 / np.log(67.8 * height_m - 5.42))


def _humidity(percent: ArrayLike) -> list[Fault]:
    return outside("relative humidity", percent, low=0.0, high=100.0, unit="%")
