"""Snow: precipitation that waits on the roof and melts by degree-days."""

from dataclasses import dataclass

import numpy as np

from eavewell.faults import Fault
from eavewell.site.rain_record import FloatArray
from eavewell.tables import table
from eavewell.weather.limits import crossed, refuse


@dataclass(frozen=True, slots=True, eq=False)
class Melted:
    """A record's precipitation parted into rain and snow, as depths of water, shape (day,).

    rain_mm      : fell as rain that day.
    snow_melt_mm : melted that day, out of this and earlier days' snow.
    waiting_mm   : water standing as snow at the end of the day.
    """

    rain_mm: FloatArray
    snow_melt_mm: FloatArray
    waiting_mm: FloatArray

    @property
    def water_mm(self) -> FloatArray:
        """Rain and melt together."""
        return self.rain_mm + self.snow_melt_mm


def melt(
    rain_mm: FloatArray,
    *,
    tmax_c: FloatArray,
    tmin_c: FloatArray,
    snow_below_c: float | None = None,
    melt_rate_mm_c: float | None = None,
) -> Melted:
    """Let precipitation of cold days wait and melt by degree-days; nothing is lost.

    rain_mm        : water equivalent as daily records have it, never converted again; no NaN.
    tmax_c, tmin_c : no NaN; their mean rules the day.
    snow_below_c   : mean temperature below which all of a day's precipitation is snow; None
                     takes the table's (jennings2018, abstract).
    melt_rate_mm_c : melt a day and degree above freezing; None takes the table's (neh630_11).
    Old and new snow melt alike from the day they fall; heat brought by rain is left out.
    """
    refuse(crossed(tmax_c, tmin_c), _gaps(rain_mm, tmax_c, tmin_c))
    tmean_c = (tmax_c + tmin_c) / 2.0
    is_snow = tmean_c < _or_table(snow_below_c, "snow_below")
    snow_mm = np.where(is_snow, rain_mm, 0.0)
    degrees = np.maximum(tmean_c - table("snow")["melt_above"].value, 0.0)
    waiting_mm = _waiting(snow_mm, _or_table(melt_rate_mm_c, "melt_rate") * degrees)
    before_mm = np.concatenate(([0.0], waiting_mm[:-1]))
    return Melted(rain_mm - snow_mm, before_mm + snow_mm - waiting_mm, waiting_mm)


def _waiting(snow_mm: FloatArray, melts_mm: FloatArray) -> FloatArray:
    """Carry the snow from day to day; each day depends on the one before."""
    if not snow_mm.any():
        return np.zeros_like(snow_mm)
    left = 0.0
    kept = []
    for fell, melts in zip(snow_mm.tolist(), melts_mm.tolist(), strict=True):
        left = max(left + fell - melts, 0.0)
        kept.append(left)
    return np.array(kept)


def _or_table(value: float | None, name: str) -> float:
    return table("snow")[name].value if value is None else value


def _gaps(*series: FloatArray) -> list[Fault]:
    if any(np.isnan(part).any() for part in series):
        return [Fault("snow needs rain and temperatures of every day; fill the gaps first.")]
    return []
