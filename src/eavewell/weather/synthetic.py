"""Years that might come, drawn from the record's own years; drier ones too.

Rows of the record are drawn, never values: rain, temperature and demand of a day stay together.
"""

import numpy as np
from numpy.typing import NDArray

from eavewell.faults import BadRecord, Fault
from eavewell.site.rain_record import DayArray, FloatArray
from eavewell.weather.limits import outside, refuse
from eavewell.weather.temperature import month_of

RowArray = NDArray[np.int32]
YEAR_DAYS = 365


def whole_year_rows(dates: DayArray, first_month: int = 1) -> RowArray:
    """Rows of every whole year that starts on the first of a month, shape (year, 365).

    dates : an unbroken calendar. 29 February is left out, so that all years are equally long
    and every row is a day that was measured.
    """
    refuse(outside("month", first_month, low=1, high=12, unit=""))
    days = dates.astype("M8[D]")
    if (np.diff(days).astype(int) != 1).any():
        raise BadRecord("the record's calendar has gaps; put it on an unbroken calendar first.")
    month = month_of(days)
    day_of_month = (days - days.astype("M8[M]").astype("M8[D]")).astype(int) + 1
    rows = np.flatnonzero((month != 2) | (day_of_month != 29))
    starts = np.flatnonzero((month == first_month) & (day_of_month == 1))
    at = np.searchsorted(rows, starts)
    at = at[at + YEAR_DAYS <= rows.size]
    return np.asarray(rows[at[:, None] + np.arange(YEAR_DAYS)], dtype=np.int32)


def resampled_rows(
    dates: DayArray,
    *,
    years: int,
    block_years: int = 3,
    first_month: int = 1,
    traces: int,
    seed: int | np.random.Generator,
) -> RowArray:
    """Draw traces as rows of the record, in blocks of consecutive whole years.

    years       : length of a trace; its last block is cut where it does not fit.
    block_years : 1 for independent whole years; take at least the time that a full tank lasts,
                  or droughts that cross a year's end are broken.
    first_month : the month in which the tank is usually fullest.
    Returns rows of the record, shape (years x 365, trace).
    A block starts at any year from which it fits into the record; it never wraps round from the
    record's end to its start, where the years are no neighbours. The outermost years are hence
    drawn a little less often. Records with fewer whole years than a block are refused.
    """
    year_rows = whole_year_rows(dates, first_month)
    _check(years=years, block_years=block_years, traces=traces, known=len(year_rows))
    draws = -(-years // block_years)
    first = np.random.default_rng(seed).integers(
        0, len(year_rows) - block_years + 1, size=(draws, 1, traces)
    )
    picked = (first + np.arange(block_years)[:, None]).reshape(-1, traces)[:years]
    day_rows = np.ascontiguousarray(year_rows.T)
    rows = np.empty((years, YEAR_DAYS, traces), dtype=np.int32)
    for year, lane_years in zip(rows, picked, strict=True):
        np.take(day_rows, lane_years, axis=1, out=year)
    return rows.reshape(years * YEAR_DAYS, traces)


def stressed(
    rain_mm: FloatArray,
    dates: DayArray,
    *,
    depth_factor: float,
    wet_day_factor: float,
    seed: int | np.random.Generator,
) -> FloatArray:
    """Make a record drier: some wet days fall dry, the others rain less; no day gets wetter.

    depth_factor   : depth kept on a wet day, 0 to 1.
    wet_day_factor : share of wet days kept, 0 to 1, the same in each calendar month over all
                     years to the nearest day; which ones is drawn. Missing days stay missing.
    """
    refuse_wetter(depth_factor, wet_day_factor)
    rng = np.random.default_rng(seed)
    drier_mm = rain_mm * depth_factor
    months = month_of(dates)
    for month in range(1, 13):
        wet = np.flatnonzero((months == month) & (rain_mm > 0.0))
        dropped = wet.size - round(wet.size * wet_day_factor)
        drier_mm[rng.choice(wet, size=dropped, replace=False)] = 0.0
    return drier_mm


def refuse_wetter(depth_factor: float, wet_day_factor: float) -> None:
    """Raise OutOfRange unless both factors lie between 0 and 1."""
    refuse(
        outside("depth factor", depth_factor, low=0.0, high=1.0, unit="of the record"),
        outside("wet-day factor", wet_day_factor, low=0.0, high=1.0, unit="of the record"),
    )


def _check(*, years: int, block_years: int, traces: int, known: int) -> None:
    faults = [
        Fault(f"{what} must be at least 1, not {value}.")
        for what, value in (("years", years), ("block years", block_years), ("traces", traces))
        if value < 1
    ]
    if known < max(block_years, 2):
        faults.append(
            Fault(
                f"the record has {known} whole years, too few to draw blocks of {block_years}; "
                "bring in a longer record or shorten the block."
            )
        )
    if faults:
        raise BadRecord(faults)
