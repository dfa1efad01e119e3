"""Sun: what arrives above the air, what reaches the ground and what stays (source fao56).

Radiation is per day and square metre. Days are datetime64 days, one for each row of the other
arrays, or one day for all.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from eavewell.site.rain_record import DayArray, FloatArray
from eavewell.tables import table
from eavewell.weather.limits import crossed, figures, outside, refuse


def day_of_year(dates: DayArray) -> NDArray[np.int64]:
    """Day of the year, 1 on 1 January, of each date."""
    days = dates.astype("datetime64[D]")
    since = days - days.astype("datetime64[Y]").astype("datetime64[D]")
    return np.asarray(since.astype(np.int64) + 1)


def declination_rad(dates: DayArray) -> FloatArray:
    """Height of the noon sun over the equator; fao56 eq. 24."""
    return np.asarray(0.409 * np.sin(2.0 * np.pi / 365.0 * day_of_year(dates) - 1.39))


def sunset_angle_rad(dates: DayArray, *, latitude: float) -> FloatArray:
    """Hour angle of the sunset, 0 in polar night and pi in polar day; fao56 eq. 25."""
    refuse(outside("latitude", latitude, low=-90.0, high=90.0, unit="degrees"))
    cosine = -np.tan(np.radians(latitude)) * np.tan(declination_rad(dates))
    return np.asarray(np.arccos(np.clip(cosine, -1.0, 1.0)))


def daylight_hours(dates: DayArray, *, latitude: float) -> FloatArray:
    """Longest sunshine that a day allows; fao56 eq. 34."""
    return 24.0 / np.pi * sunset_angle_rad(dates, latitude=latitude)


def extraterrestrial_mj_m2(dates: DayArray, *, latitude: float) -> FloatArray:
    """Sun above the air on a level place, -90 to 90 degrees; fao56 eq. 21 and 23.

    >>> round(float(extraterrestrial_mj_m2(np.array(["2015-09-03"], "M8[D]"), latitude=-20)[0]), 1)
    32.2
    """
    sunset, tilt = sunset_angle_rad(dates, latitude=latitude), declination_rad(dates)
    phi = np.radians(latitude)
    nearness = 1.0 + 0.033 * np.cos(2.0 * np.pi / 365.0 * day_of_year(dates))
    beam = sunset * np.sin(phi) * np.sin(tilt) + np.cos(phi) * np.cos(tilt) * np.sin(sunset)
    minute_mj_m2 = table("evaporation")["solar_constant"].value
    # At the poles rounding leaves a beam of some -1e-17 through the night.
    return np.asarray(np.maximum(24.0 * 60.0 / np.pi * minute_mj_m2 * nearness * beam, 0.0))


def solar_mj_m2_from_sunshine(
    sunshine_hours: ArrayLike, dates: DayArray, *, latitude: float
) -> FloatArray:
    """Sun at the ground from hours of sunshine, by Angstrom; fao56 eq. 35."""
    refuse(outside("sunshine", sunshine_hours, low=0.0, high=24.0, unit="hours"))
    daylight = daylight_hours(dates, latitude=latitude)
    hours = np.minimum(figures(sunshine_hours), daylight)
    share = np.divide(hours, daylight, out=np.zeros_like(hours + daylight), where=daylight > 0.0)
    overcast, clear = table("evaporation")["angstrom_a"].value, table("evaporation")["angstrom_b"]
    return (overcast + clear.value * share) * extraterrestrial_mj_m2(dates, latitude=latitude)


def clear_sky_mj_m2(extraterrestrial: ArrayLike, *, elevation_m: ArrayLike) -> FloatArray:
    """Sun at the ground under a clear sky; fao56 eq. 37."""
    z = figures(elevation_m)
    return np.asarray((0.75 + 2e-5 * z) * figures(extraterrestrial))


def net_longwave_mj_m2(
    solar_mj_m2: ArrayLike,
    clear_mj_m2: ArrayLike,
    *,
    tmax_c: ArrayLike,
    tmin_c: ArrayLike,
    vapour_kpa: ArrayLike,
) -> FloatArray:
    """Heat a day's ground loses to the sky; fao56 eq. 39.

    The share of the clear sky's sun is held between the least that asce2005 allows (eq. 18)
    and 1; where no sun rises the sky counts as overcast.
    """
    refuse(crossed(tmax_c, tmin_c), outside("sun", solar_mj_m2, low=0.0, high=50.0, unit="MJ/m2"))
    sun, clear = (figures(part) for part in (solar_mj_m2, clear_mj_m2))
    share = np.divide(sun, clear, out=np.zeros_like(sun + clear), where=clear > 0.0)
    share = np.clip(share, table("evaporation")["least_clear_share"].value, 1.0)
    fourth = sum((figures(t) + 273.16) ** 4 for t in (tmax_c, tmin_c)) / 2.0
    humid = 0.34 - 0.14 * np.sqrt(vapour_kpa)
    return np.asarray(
        table("evaporation")["stefan_boltzmann"].value * fourth * humid * (1.35 * share - 0.35)
    )


def net_radiation_mj_m2(solar_mj_m2: ArrayLike, longwave_mj_m2: ArrayLike) -> FloatArray:
    """Heat that stays at a grass surface; fao56 eq. 38 and 40."""
    kept = 1.0 - table("evaporation")["grass_albedo"].value
    return kept * figures(solar_mj_m2) - figures(longwave_mj_m2)
