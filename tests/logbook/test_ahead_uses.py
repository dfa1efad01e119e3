"""Last week's use against the plan, worked by hand; the site is invented."""

from datetime import date

import numpy as np
import pytest

from eavewell.logbook.ahead.basis import Basis, Standing
from eavewell.logbook.ahead.uses import people_of, used
from eavewell.logbook.ahead.years import years_from
from eavewell.site.want import Household, People
from eavewell.storage.series import series

DAY = date(2003, 6, 20)


@pytest.fixture(scope="module")
def basis(making):
    """Six years; the house wants 40 L, the garden 60 from June to August and nothing else."""
    uses = (making.use(40.0, name="house"), making.use(60.0, name="garden", priority=2))
    site = making.site(uses=uses)
    days = making.days(np.zeros(6 * 365))
    water = series(site, days)
    months = water.dates.astype("datetime64[M]").astype(int) % 12 + 1
    water.demand_l[:, 1] = np.where((months >= 6) & (months <= 8), 60.0, 0.0)
    return Basis(site, water, days, series)


def of(basis, week_l_day, day=DAY):
    standing = Standing(day, day, np.zeros(1), np.zeros(1), week_l_day)
    return used(basis, years_from(basis.water.dates, day, days=60), standing=standing)


def test_all_together_is_shared_as_planned(basis):
    """80 L of 40 + 60 planned: 32 and 48, four fifths of each."""
    found = of(basis, {"": 80.0})
    assert found.week_l_day == pytest.approx({"house": 32.0, "garden": 48.0})
    assert found.scale == pytest.approx([0.8, 0.8])
    assert found.ahead_l_day == pytest.approx({"house": 32.0, "garden": 48.0})


def test_a_meter_of_its_own_and_the_rest(basis):
    """30 L metered in the house, 90 in all: 60 for the garden, as planned."""
    found = of(basis, {"": 90.0, "house": 30.0})
    assert found.week_l_day == pytest.approx({"house": 30.0, "garden": 60.0})
    assert found.scale == pytest.approx([0.75, 1.0])


def test_what_no_meter_tells_is_as_planned(basis):
    assert of(basis, {"house": 30.0}).week_l_day == pytest.approx({"house": 30.0, "garden": 60.0})


def test_use_that_nobody_planned_is_still_last_weeks_use(basis):
    """In winter the garden plans nothing; 20 L metered there count, but scale no plan."""
    found = of(basis, {"house": 40.0, "garden": 20.0}, day=date(2003, 1, 20))
    assert found.week_l_day == pytest.approx({"house": 40.0, "garden": 20.0})
    assert found.scale == pytest.approx([1.0, 1.0])


def test_a_wild_week_does_not_go_on_for_a_year(basis):
    """400 L in the house is ten times its plan; the year goes on at three times."""
    found = of(basis, {"house": 400.0})
    assert found.week_l_day["house"] == 400.0
    assert found.scale == pytest.approx([3.0, 1.0])


def test_unknown_use_is_the_plans(basis):
    found = of(basis, {})
    assert found.week_l_day is None
    assert found.ahead_l_day == found.plan_l_day == pytest.approx({"house": 40.0, "garden": 60.0})


def test_the_plan_is_the_mean_of_thirty_days_to_come(basis):
    """From 20 August twelve days of garden are left of thirty: 60 x 12 / 30."""
    found = of(basis, {}, day=date(2003, 8, 20))
    assert found.plan_l_day["garden"] == pytest.approx(24.0)


def test_people_are_those_of_the_largest_household(making):
    from dataclasses import replace

    one = making.use()
    uses = (
        replace(one, wants=(People(3.0, 60.0),)),
        replace(one, wants=(Household(2.0, ()),)),
    )
    assert people_of(uses) == 3.0
    assert people_of((one,)) is None
