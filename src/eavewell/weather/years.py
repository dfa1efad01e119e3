"""The calendar of a record: its years, months and full years."""

import numpy as np
from numpy.typing import NDArray

from eavewell.site.rain_record import RainRecord
from eavewell.tables import table

WholeArray = NDArray[np.int64]


def year_of_day(record: RainRecord) -> WholeArray:
    """Calendar year of every day, shape (day,)."""
    return record.dates.astype("datetime64[Y]").astype(np.int64) + 1970


def month_of_day(record: RainRecord) -> WholeArray:
    """Month of every day, 1 to 12, shape (day,)."""
    return record.dates.astype("datetime64[M]").astype(np.int64) % 12 + 1


def day_in_year(record: RainRecord) -> WholeArray:
    """Day of the year of every day, 0 to 365, shape (day,)."""
    days = record.dates.astype(np.int64)
    return days - record.dates.astype("datetime64[Y]").astype("datetime64[D]").astype(np.int64)


def full_years(record: RainRecord) -> tuple[int, ...]:
    """Years that lie wholly in the record and miss at most 1 % of their days."""
    years = year_of_day(record)
    most = table("rain_limits")["full_year_missing_share"].value
    found = []
    for year in np.unique(years):
        inside = years == year
        if inside.sum() >= 365 and record.missing[inside].mean() <= most:
            found.append(int(year))
    return tuple(found)


def runs_of(where: NDArray[np.bool_]) -> WholeArray:
    """First row and length of every run of True, shape (run, 2)."""
    edges = np.flatnonzero(np.diff(np.r_[False, where, False].astype(np.int8)))
    starts, ends = edges[::2], edges[1::2]
    return np.stack([starts, ends - starts], axis=1).astype(np.int64)
