"""Wash-down, events, filter backwash and flushes."""

import numpy as np

from eavewell.demand.calendar import present
from eavewell.site.rain_record import FloatArray
from eavewell.site.want import Washing
from eavewell.weather.days import Days


def washing_l(want: Washing, days: Days) -> FloatArray:
    """Its volume on each day of its calendar, shape (day,)."""
    return np.where(present(want.calendar, days.dates), want.each_l, 0.0)
