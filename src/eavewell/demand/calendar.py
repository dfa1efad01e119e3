"""Which days a calendar names."""

import numpy as np
from numpy.typing import NDArray

from eavewell.site.calendar import Calendar, MonthDay
from eavewell.site.rain_record import DayArray
from eavewell.weather.temperature import month_of

BoolArray = NDArray[np.bool_]


def present(calendar: Calendar, dates: DayArray) -> BoolArray:
    """True on the days on which somebody is there; every condition given must hold.

    dates : shape (day,); the answer has the same shape.
    A season that ends on 28 February leaves out 29 February; one whose last day comes before
    its first crosses New Year.
    """
    day = dates.astype("datetime64[D]")
    here = np.ones(day.shape, dtype=np.bool_)
    if calendar.weekdays:
        # Day 0 of the epoch, 1 January 1970, was a Thursday.
        here &= np.isin((day.astype(np.int64) + 3) % 7, sorted(calendar.weekdays))
    if calendar.months:
        here &= np.isin(month_of(day), sorted(calendar.months))
    if calendar.seasons:
        here &= _in_any_season(calendar.seasons, day)
    if calendar.spans:
        here &= np.logical_or.reduce(
            [
                (day >= np.datetime64(first)) & (day <= np.datetime64(last))
                for first, last in calendar.spans
            ]
        )
    return here


def _in_any_season(seasons: tuple[tuple[MonthDay, MonthDay], ...], day: DayArray) -> BoolArray:
    first_of_month = day.astype("datetime64[M]").astype("datetime64[D]")
    month_day = 100 * month_of(day) + (day - first_of_month).astype(np.int64) + 1
    inside = np.zeros(day.shape, dtype=np.bool_)
    for first, last in seasons:
        start, end = (100 * month + number for month, number in (first, last))
        after, before = month_day >= start, month_day <= end
        inside |= (after & before) if start <= end else (after | before)
    return inside
