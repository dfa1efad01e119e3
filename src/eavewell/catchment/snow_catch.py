"""Snow that never reaches the gutter, and months in which nothing is caught."""

import numpy as np
from numpy.typing import NDArray

from eavewell.faults import BadSite
from eavewell.site.rain_record import FloatArray
from eavewell.site.roof import Roof, Snow
from eavewell.tables import table


def not_caught_mm(
    roof: Roof,
    rain_mm: FloatArray,
    *,
    melt_mm: FloatArray | None,
    months: NDArray[np.integer] | None,
    band: str,
) -> FloatArray:
    """Melt that slides or blows off, and all water of drained months, shape (day,).

    A roof that does not say how it holds snow takes the catch share of tables/snow.csv.
    """
    snow = roof.snow or _usual_snow()
    share = {"low": snow.catch_low, "value": snow.catch_share, "high": snow.catch_high}[band]
    melt = np.zeros_like(rain_mm) if melt_mm is None else np.clip(melt_mm, 0.0, rain_mm)
    missed = (1.0 - share) * melt
    if not snow.drained_months:
        return missed
    if months is None:
        raise BadSite(f"roof {roof.name!r} stands drained in winter: each day's month is needed.")
    return np.where(np.isin(months, sorted(snow.drained_months)), rain_mm, missed)


def _usual_snow() -> Snow:
    usual = table("snow")["catch_share"]
    return Snow(usual.value, usual.low, usual.high)
