"""Every year of the record, begun on one day of the calendar."""

from collections.abc import Container
from datetime import date

import numpy as np
from numpy.typing import NDArray

from eavewell.faults import BadRecord
from eavewell.site.rain_record import DayArray

Rows = NDArray[np.int32]


def years_from(dates: DayArray, first: date, *, days: int, without: Container[int] = ()) -> Rows:
    """Rows of the record that each year reads, shape (day, year); it begins on `first`'s date.

    days    : length of every run; a year that the record does not hold to its end is left out.
    without : years (of their first day) that are left out.

    Raises BadRecord where no year is left.
    """
    begins = [row for row in _same_day(dates, first) if row + days <= dates.size]
    kept = [row for row in begins if int(str(dates[row])[:4]) not in without]
    if not kept:
        raise BadRecord(
            f"The record holds no run of {days} days from {first.day} {first:%B} on: the look "
            "ahead needs a longer record."
        )
    return np.asarray(np.asarray(kept) + np.arange(days)[:, None], dtype=np.int32)


def _same_day(dates: DayArray, first: date) -> list[int]:
    """Rows of a date in every year; 28 February stands for the 29th."""
    day = 28 if (first.month, first.day) == (2, 29) else first.day
    months = dates.astype("datetime64[M]")
    of_month = (dates.astype("datetime64[D]") - months).astype(int) + 1
    here = (months.astype(int) % 12 + 1 == first.month) & (of_month == day)
    return [int(row) for row in np.flatnonzero(here)]
