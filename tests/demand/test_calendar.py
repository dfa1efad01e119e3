from datetime import date

import numpy as np
import pytest

from eavewell.demand.calendar import present
from eavewell.site.calendar import ALWAYS, Calendar

YEARS = np.arange("1968-01-01", "2003-01-01", dtype="datetime64[D]")
PLAIN = [date.fromisoformat(str(day)) for day in YEARS]


@pytest.mark.parametrize(
    ("calendar", "holds"),
    [
        (ALWAYS, lambda _: True),
        (Calendar(weekdays=frozenset({5, 6})), lambda day: day.weekday() >= 5),
        (Calendar(months=frozenset({6, 7})), lambda day: day.month in (6, 7)),
        (
            Calendar(seasons=(((12, 20), (1, 6)),)),
            lambda day: (day.month, day.day) >= (12, 20) or (day.month, day.day) <= (1, 6),
        ),
        (
            Calendar(seasons=(((4, 1), (4, 30)), ((9, 1), (9, 15)))),
            lambda day: day.month == 4 or (day.month == 9 and day.day <= 15),
        ),
        (
            Calendar(spans=((date(1999, 12, 31), date(2000, 2, 29)),)),
            lambda day: date(1999, 12, 31) <= day <= date(2000, 2, 29),
        ),
        (
            Calendar(weekdays=frozenset({6}), months=frozenset({5})),
            lambda day: day.weekday() == 6 and day.month == 5,
        ),
    ],
)
def test_days_are_those_of_the_plain_calendar(calendar, holds):
    assert present(calendar, YEARS).tolist() == [holds(day) for day in PLAIN]


def test_a_season_to_28_february_leaves_the_leap_day_out():
    winter = Calendar(seasons=(((2, 1), (2, 28)),))
    days = np.array(["2000-02-28", "2000-02-29", "2000-03-01"], "datetime64[D]")
    assert present(winter, days).tolist() == [True, False, False]
