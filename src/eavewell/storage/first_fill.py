"""The first year of a new system, which starts empty."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.storage.arrangement import arrange, lanes_as_drawn, order_levels_l, spread
from eavewell.storage.balance import run
from eavewell.storage.lanes import Arrangement
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
    full = np.array(list(_days_to_full(site, series, starts)))
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


def _days_to_full(site: Site, series: Series, starts: NDArray[np.int64]) -> Iterator[float]:
    """Days from each start until the largest store is full; infinite beyond two years.

    One arrangement serves all starts; only the days of each are its own, and what they ask of
    the trucks.
    """
    lanes, days = lanes_as_drawn(site), WATCHED_YEARS * YEAR
    largest = int(np.argmax(lanes.usable_l[:, 0]))
    first = arrange(site, series.rows(0, days), lanes=lanes)
    loss_l = arrange(site, series, lanes=lanes).loss_l
    for start in starts:
        watched = series.rows(int(start), int(start) + days)
        one = first._replace(
            runoff_mm=watched.runoff_mm,
            demand_l=watched.demand_l,
            loss_l=loss_l[start : start + days],
            truck_order_l=order_levels_l(site, watched, lanes=lanes),
        )
        yield _day_full(one, largest)


def _day_full(one: Arrangement, store: int) -> float:
    """The day on which a store is first full, from 1."""
    kept = run(one, keep_lane=0).every_day
    assert kept is not None
    # A store filled by a lift never spills: it is full when only the day's use is missing.
    held = kept.level_l[:, store] + kept.supplied_l.sum(axis=1)
    is_full = (kept.spilled_l[:, store] > 0.0) | (held >= one.capacity_l[store, 0] * FULL)
    full = np.flatnonzero(is_full)
    return float(full[0] + 1) if full.size else np.inf


def _days(value: float) -> int | None:
    return int(value) if np.isfinite(value) else None


def _middle_and_worst(short: FloatArray) -> tuple[int, int]:
    middle, worst = np.percentile(short, [50, 90], method="higher")
    return int(middle), int(worst)
