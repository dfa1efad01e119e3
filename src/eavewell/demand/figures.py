"""A demand series in three figures."""

from dataclasses import dataclass
from datetime import date

import numpy as np

from eavewell.site.rain_record import DayArray, FloatArray


@dataclass(frozen=True, slots=True)
class DemandFigures:
    """Mean, peak month and peak week of a demand, all in L/day.

    peak_month_from, peak_week_from : the first day of each.
    """

    mean_l_day: float
    peak_month_l_day: float
    peak_month_from: date
    peak_week_l_day: float
    peak_week_from: date


def demand_figures(demand_l: FloatArray, dates: DayArray) -> DemandFigures:
    """The mean of the series, its greatest calendar month and its greatest seven days.

    demand_l : L/day, shape (day,), at least one day.
    dates    : shape (day,), no gaps. A month cut by the ends of the series counts only where no
               month is whole, and a series shorter than a week is one week.
    """
    months = dates.astype("datetime64[M]")
    first = np.flatnonzero(np.r_[True, months[1:] != months[:-1]])
    lengths = np.diff(np.r_[first, dates.size])
    next_month = (months[first] + np.timedelta64(1, "M")).astype("datetime64[D]")
    whole = lengths == (next_month - months[first].astype("datetime64[D]")).astype(np.int64)
    by_month = np.add.reduceat(demand_l, first) / lengths
    month = int(np.argmax(np.where(whole | ~whole.any(), by_month, -np.inf)))
    week = min(7, dates.size)
    by_week = np.convolve(demand_l, np.full(week, 1.0 / week), mode="valid")
    peak = int(np.argmax(by_week))
    return DemandFigures(
        float(demand_l.mean()),
        float(by_month[month]),
        _date(dates[first[month]]),
        float(by_week[peak]),
        _date(dates[peak]),
    )


def _date(day: np.datetime64) -> date:
    return date.fromisoformat(str(day.astype("datetime64[D]")))
