from datetime import date

import numpy as np
import pytest

from eavewell.demand.figures import demand_figures


def test_mean_peak_month_and_peak_week():
    dates = np.arange("2001-01-01", "2002-01-01", dtype="datetime64[D]")
    wanted_l = np.full(365, 10.0)
    wanted_l[181:212] = 20.0  # July
    wanted_l[100:107] = 50.0  # 11 to 17 April
    figures = demand_figures(wanted_l, dates)
    # 365 x 10 + 31 x 10 + 7 x 40 = 4,240 L; April has 300 + 280 = 580 L in 30 days, July 20 a day.
    assert figures.mean_l_day == pytest.approx(4240 / 365)
    assert (figures.peak_month_l_day, figures.peak_month_from) == (
        pytest.approx(20.0),
        date(2001, 7, 1),
    )
    assert (figures.peak_week_l_day, figures.peak_week_from) == (
        pytest.approx(50.0),
        date(2001, 4, 11),
    )


def test_a_cut_month_is_not_the_peak_month():
    dates = np.arange("2001-01-30", "2001-03-01", dtype="datetime64[D]")
    wanted_l = np.full(dates.size, 10.0)
    wanted_l[:2] = 99.0
    assert demand_figures(wanted_l, dates).peak_month_from == date(2001, 2, 1)


def test_a_few_days_are_one_week_and_one_month():
    dates = np.arange("2001-01-30", "2001-02-02", dtype="datetime64[D]")
    figures = demand_figures(np.array([6.0, 6.0, 3.0]), dates)
    assert (figures.peak_week_l_day, figures.peak_month_l_day) == pytest.approx((5.0, 6.0))
