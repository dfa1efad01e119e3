"""The first year of a new system, which starts empty."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.storage.arrangement import arrange, lanes_as_drawn, orders_at_l, spread
from eavewell.storage.balance import run
from eavewell.storage.reliability import month_rows
from eavewell.storage.series import Series, uses_in_order

YEAR = 365
WATCHED_YEARS = 2
FULL = 1.0 - 1e-9


@dataclass(frozen=True, slots=True)
class FirstFill:
    """Every year of the record taken as the first year, all stores empty or as stated.

    starts     : how many first years were tried; month, day: when each began.
    middle_days, dry_tenth_days : days until the largest store is first full, in the middle and
                 in the driest tenth of the years; None where it was not full within two years.
    short_days : of the first year, per use by name: in the middle and in the worst tenth.
    """

    starts: int
    month: int
    day: int
    middle_days: int | None
    dry_tenth_days: int | None
    short_days: dict[str, tuple[int, int]]


def first_fill(site: Site, series: Series) -> FirstFill | None:
    """Run the first two years from the start day in every year of the record.

    None where the record holds no two years from a start day on.
    """
    month, day = (site.start_day.month, site.start_day.day) if site.start_day else (1, 1)
    starts = _starts(series, month, day=day)
    if starts.size == 0:
        return None
    rows = np.asarray(starts + np.arange(YEAR)[:, None], dtype=np.int32)
    lanes = spread(lanes_as_drawn(site), starts.size)
    first = run(arrange(site, series, lanes=lanes, day_row=rows)).sums.short_days
    full = _days_to_full(site, series, starts=starts)
    names = [use.name for use in uses_in_order(site)]
    return FirstFill(
        starts=int(starts.size),
        month=month,
        day=day,
        middle_days=_days(np.percentile(full, 50, method="higher")),
        dry_tenth_days=_days(np.percentile(full, 90, method="higher")),
        short_days={name: _middle_and_worst(row) for name, row in zip(names, first, strict=True)},
    )


def _starts(series: Series, month: int, *, day: int) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    months = series.dates.astype("datetime64[M]")
    day_of_month = (series.dates.astype("datetime64[D]") - months).astype(int) + 1
    in_month = months.astype(int) % 12 + 1 == month
    rows = np.flatnonzero(in_month & (day_of_month == day))
    return rows[rows + WATCHED_YEARS * YEAR <= series.days]


def _days_to_full(site: Site, series: Series, *, starts: NDArray[np.int64]) -> FloatArray:
    """Days from each start until the largest store is full; infinite beyond two years.

    Every start is a lane; its trucks are ordered at the level that its own two years ask for.
    """
    days, lanes = WATCHED_YEARS * YEAR, lanes_as_drawn(site)
    largest = int(np.argmax(lanes.usable_l[:, 0]))
    rows = np.asarray(starts + np.arange(days)[:, None], dtype=np.int32)
    each = spread(lanes, starts.size)
    orders = orders_at_l(site, _peaks_l_day(series, rows), lanes=each)
    filling = arrange(site, series, lanes=each, day_row=rows)
    evening_l = run(filling._replace(truck_order_l=orders), watch=largest).evening_l
    assert evening_l is not None
    level_l = evening_l[:, 0]
    spilled_l, supplied_l = np.diff(evening_l[:, 1:], axis=0, prepend=0.0).transpose(1, 0, 2)
    # A store filled by a lift never spills: it is full when only the day's use is missing.
    is_full = (spilled_l > 0.0) | (level_l + supplied_l >= lanes.usable_l[largest, 0] * FULL)
    return np.where(is_full.any(axis=0), is_full.argmax(axis=0) + 1.0, np.inf)


def _peaks_l_day(series: Series, rows: NDArray[np.int32]) -> FloatArray:
    """The want of each use in the month that asks most of the rows of each start, [use, start]."""
    bins = (month_rows(series.dates)[rows] + 12 * np.arange(rows.shape[1])).ravel()
    days = np.maximum(np.bincount(bins, minlength=12 * rows.shape[1]), 1)
    sums = [
        np.bincount(bins, weights=column[rows].ravel(), minlength=days.size)
        for column in series.demand_l.T
    ]
    means: FloatArray = (np.array(sums) / days).reshape(-1, rows.shape[1], 12)
    return np.asarray(means.max(axis=-1))


def _days(value: float) -> int | None:
    return int(value) if np.isfinite(value) else None


def _middle_and_worst(short: FloatArray) -> tuple[int, int]:
    middle, worst = np.percentile(short, [50, 90], method="higher")
    return int(middle), int(worst)
