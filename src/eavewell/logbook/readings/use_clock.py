"""Time as a household draws its water: slow at night, fast by day, a day in a day."""

import numpy as np

from eavewell.logbook.kept import Times
from eavewell.site.rain_record import FloatArray
from eavewell.tables import table

_MS_OF_DAY = 86_400_000.0
_HOURS = 24.0
# days by clock time before the first and after the last midnight
_BESIDE = 8


def used_days(instants: Times, midnights: Times) -> FloatArray:
    """Days of use since the first midnight; midnights of shape (day + 1,)."""
    figures = table("log_figures")
    ends, begins = (figures[name].value / _HOURS for name in ("night_ends", "night_begins"))
    night = figures["night_use"].value
    asleep = night * ends / (ends + 1.0 - begins)
    x = midnights.astype(np.float64)
    before = x[0] - _MS_OF_DAY * np.arange(_BESIDE, 0, -1)
    after = x[-1] + _MS_OF_DAY * np.arange(1, _BESIDE + 1)
    days = np.concatenate([before, x, after])
    shares, used = np.array([0.0, ends, begins]), np.array([0.0, asleep, asleep + 1.0 - night])
    grid = (days[:-1, None] + np.diff(days)[:, None] * shares).ravel()
    counted = (np.arange(days.size - 1)[:, None] + used).ravel() - _BESIDE
    found: FloatArray = np.interp(instants.astype(np.float64), grid, counted)
    return found


def half_way_days(instants: Times, midnights: Times) -> FloatArray:
    """Days since the first midnight, half way between the clock's and the household's."""
    since: FloatArray = (instants - midnights[0]).astype(np.float64) / _MS_OF_DAY
    return np.asarray((since + used_days(instants, midnights)) / 2.0, dtype=np.float64)
