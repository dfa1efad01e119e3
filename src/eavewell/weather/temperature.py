"""Temperatures of a record with its gaps filled from the same season of other years."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from eavewell.site.rain_record import DayArray, FloatArray, RainRecord

BoolArray = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Temperatures:
    """Warmest and coldest of every day, no NaN, tmin never above tmax.

    filled : True where the day had none of its own, shape (day,).
    """

    tmax_c: FloatArray
    tmin_c: FloatArray
    filled: BoolArray


def month_of(dates: DayArray) -> NDArray[np.int64]:
    """Month of each date, 1 to 12."""
    return dates.astype("datetime64[M]").astype(np.int64) % 12 + 1


def through_the_year(twelve: FloatArray, dates: DayArray) -> FloatArray:
    """Run a smooth line through twelve monthly means, January first, straight between mid-months.

    twelve : shape (12,). Returns one value a date, shape (day,).
    """
    start_of_month = dates.astype("datetime64[M]")
    length = (start_of_month + np.timedelta64(1, "M")).astype(
        "datetime64[D]"
    ) - start_of_month.astype("datetime64[D]")
    day = (dates.astype("datetime64[D]") - start_of_month.astype("datetime64[D]")).astype(float)
    when = month_of(dates) - 1 + (day + 0.5) / length.astype(float)
    return np.asarray(np.interp(when, np.arange(12) + 0.5, twelve, period=12.0))


def temperatures(record: RainRecord) -> Temperatures | None:
    """Fill the missing days of a record's temperatures by the mean of their season.

    A day whose coldest is warmer than its warmest counts as missing. None where the record has
    no temperatures, or has a month of the year without any.
    """
    if record.tmax_c is None or record.tmin_c is None:
        return None
    known = record.tmin_c <= record.tmax_c  # False also where either is NaN
    months = month_of(record.dates)
    if np.unique(months[known]).size < 12:
        return None
    tmax_c, tmin_c = (
        np.where(known, values, _season(values, months, known=known, dates=record.dates))
        for values in (record.tmax_c, record.tmin_c)
    )
    return Temperatures(tmax_c, tmin_c, ~known)


def _season(
    values_c: FloatArray, months: NDArray[np.int64], *, known: BoolArray, dates: DayArray
) -> FloatArray:
    days = np.bincount(months[known], minlength=13)[1:]
    twelve = np.bincount(months[known], weights=values_c[known], minlength=13)[1:] / days
    return through_the_year(twelve, dates)
