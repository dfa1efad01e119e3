"""Evaporative coolers."""

import numpy as np

from eavewell.demand.calendar import present
from eavewell.site.rain_record import FloatArray
from eavewell.site.want import Cooler
from eavewell.weather.days import Days


def cooler_l(want: Cooler, days: Days) -> FloatArray:
    """Its volume on the days of its calendar whose warmest hour is above its start, shape (day,).

    A record without temperatures runs it on every day of its calendar, so give it a season.
    Figures to start from stand in tables/cooler.csv and tables/cooler_start.csv.
    """
    runs = present(want.calendar, days.dates)
    if days.tmax_c is not None:
        runs = runs & (days.tmax_c > want.above_c)
    return np.where(runs, want.each_l_day, 0.0)
