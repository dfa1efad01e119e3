import numpy as np
import pytest

from eavewell.weather.temperature import month_of, through_the_year


def test_month_of():
    dates = np.array(["1969-12-31", "1970-01-01", "2020-02-29"], dtype="M8[D]")
    assert month_of(dates).tolist() == [12, 1, 2]


def test_the_line_meets_the_mean_at_mid_month_and_wraps_at_new_year():
    twelve = np.arange(12.0)
    dates = np.array(["2021-06-16", "2021-01-01", "2021-12-31"], dtype="M8[D]")
    line = through_the_year(twelve, dates)
    # 16 June: 15.5 of 30 days in, 1/60 of a month past the middle of June.
    assert line[0] == pytest.approx(5.0 + 0.5 / 30.0)
    # New Year lies half-way between December's 11 and January's 0; half a day is 1/62 month.
    assert line[1] == pytest.approx(5.5 - 11.0 / 62.0)
    assert line[2] == pytest.approx(5.5 + 11.0 / 62.0)
