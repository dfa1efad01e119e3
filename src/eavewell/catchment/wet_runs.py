"""Water that is taken once from the start of each rain."""

import numpy as np
from numpy.typing import NDArray

from eavewell.site.rain_record import FloatArray


def taken_per_wet_run_mm(
    water_mm: FloatArray, capacity_mm: float, *, reset_dry_days: int
) -> FloatArray:
    """Depth that a roof's surface or a first-flush chamber takes on each day, shape (day,).

    water_mm       : depth that comes to it, shape (day,), none below 0.
    capacity_mm    : what it holds when empty, at least 0.
    reset_dry_days : it is empty again after this many days without water, and on the first day;
                     until then it keeps what it has and takes only what still fits. 0 empties
                     it every night.
    """
    starts = _starts(water_mm, reset_dry_days)
    total_mm = np.cumsum(water_mm)
    base_mm = np.r_[0.0, (total_mm - water_mm)[starts]][np.cumsum(starts)]
    after_mm = np.minimum(total_mm - base_mm, capacity_mm)
    before_mm = np.minimum(total_mm - base_mm - water_mm, capacity_mm)
    return np.asarray(np.clip(after_mm - before_mm, 0.0, water_mm))


def wet_run_mm(water_mm: FloatArray, *, reset_dry_days: int) -> FloatArray:
    """Depth that comes in each wet run, shape (run,): a chamber takes of each what it holds."""
    starts = np.flatnonzero(_starts(water_mm, reset_dry_days))
    return np.asarray(np.add.reduceat(water_mm, starts)) if starts.size else np.zeros(0)


def _starts(water_mm: FloatArray, reset_dry_days: int) -> NDArray[np.bool_]:
    """The days on which the chamber is empty again and water comes."""
    day = np.arange(water_mm.size)
    wet = water_mm > 0.0
    last_wet = np.maximum.accumulate(np.where(wet, day, -1))
    before = np.r_[-1, last_wet[:-1]] if day.size else last_wet
    return np.asarray(wet & ((before < 0) | (day - before - 1 >= reset_dry_days)))
