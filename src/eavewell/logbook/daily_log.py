"""The log of a site day by day: what today, the look ahead and the leak test read."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from eavewell.site.rain_record import DayArray, FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class DailyLog:
    """Readings as daily figures in the site's own time zone; nan where nothing is known.

    A day runs from midnight to midnight. What is dated `dates[k]` of a volume that flows fell,
    was drawn or came between the midnight that begins that day and the one that ends it.

    dates      : every day from the first to the last reading, shape (day,).
    tanks      : names of the tanks (sumps left out), in the site's order.
    held_l     : water above the dead storage at the midnight that begins each day, smoothed and
                 interpolated between readings not further apart than a few days, (day, tank).
    held_sd_l  : its standard error, (day, tank). read : True on a day with a reading of its own.
    meters     : names of the meters; metered_l : what each counted in the day, (day, meter); a
                 figure over several days is spread evenly and marked by spread_days > 1.
    spread_days: over how many days the figure was spread, (day, meter).
    make_up_l  : by make-up meters, (day,). hauled_l : loads that came, (day, tank).
    rain_mm    : by the site's own gauge, (day,).
    spans_dst  : True on the two days of the year that have 23 or 25 hours.
    """

    dates: DayArray
    tanks: tuple[str, ...]
    held_l: FloatArray
    held_sd_l: FloatArray
    read: NDArray[np.bool_]
    meters: tuple[str, ...]
    metered_l: FloatArray
    spread_days: FloatArray
    make_up_l: FloatArray
    hauled_l: FloatArray
    rain_mm: FloatArray
    spans_dst: NDArray[np.bool_]

    @property
    def days(self) -> int:
        """Number of days."""
        return int(self.dates.size)
