"""Runoff of ground by the curve number."""

import numpy as np
from numpy.typing import ArrayLike

from eavewell.faults import OutOfRange
from eavewell.site.rain_record import FloatArray
from eavewell.tables import rows

_MM_PER_IN = 25.4


def retention_mm(curve_number: float) -> float:
    """Potential retention, S = 1000 / CN - 10 in inches; TR-55 eq. 2-4.

    curve_number : 30 to 100; OutOfRange outside.
    """
    if not 30.0 <= curve_number <= 100.0:
        raise OutOfRange(f"A curve number of {curve_number:g} lies outside 30 to 100.")
    return _MM_PER_IN * (1000.0 / curve_number - 10.0)


def runoff_mm_tr55(rain_mm: ArrayLike, curve_number: float) -> FloatArray:
    """Runoff of a storm, Q = (P - 0.2 S)^2 / (P + 0.8 S); TR-55 eq. 2-3.

    rain_mm : depth of each storm or day, none below 0.
    """
    rain = np.asarray(rain_mm, dtype=np.float64)
    if rain.size and rain.min() < 0.0:
        raise OutOfRange("Rain is never less than nothing.")
    kept = retention_mm(curve_number)
    excess = np.maximum(rain - 0.2 * kept, 0.0)
    return np.asarray(excess**2 / np.maximum(rain + 0.8 * kept, 1e-12))


def retention_05_in(retention_20_in: float) -> float:
    """Retention for an initial abstraction of 0.05 S, S(0.05) = 1.33 S(0.20)^1.15, in inches."""
    if retention_20_in < 0.0:
        raise OutOfRange("Retention is never less than nothing.")
    return float(1.33 * retention_20_in**1.15)


def covers() -> tuple[str, ...]:
    """Covers with a curve number."""
    return tuple(row["cover"] for row in rows("curve_numbers"))


def curve_number_of(cover: str, soil_group: str) -> float | None:
    """Curve number of a cover on a hydrologic soil group; None where either is not stated.

    Raises OutOfRange for a cover that the table does not know.
    """
    if not cover or not soil_group:
        return None
    known = {row["cover"]: row for row in rows("curve_numbers")}
    if cover not in known:
        raise OutOfRange(f"[ground] cover {cover!r} is not known; one of {', '.join(known)}.")
    return float(known[cover][soil_group])
