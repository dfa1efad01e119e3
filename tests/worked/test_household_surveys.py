"""Household water: REU 2016, REUWS 1999, Vickers, Texas 2005 (MEMORY); NZ notes (FOUND)."""

import numpy as np
import pytest

from eavewell.demand.household import fixture, household_l, people_l, surveyed_household
from eavewell.site.want import Household, People
from eavewell.weather.days import Days

GAL = 3.785411784
ONE_DAY = Days(np.array(["2001-01-01"], "datetime64[D]"), np.zeros(1), np.zeros(1))


@pytest.mark.parametrize(
    ("survey", "each_l"),
    [
        ("reu_2016", 58.6 * GAL),
        ("reuws_1999", 69.3 * GAL),
        ("vickers_conserving", 45.3 * GAL),
        ("nz_house_notes", 227.0),
    ],
)
def test_a_person_uses_what_the_survey_sums_to(survey, each_l):
    home = Household(1.0, surveyed_household(survey))
    assert household_l(home, ONE_DAY)[0] == pytest.approx(each_l, abs=0.01)


def test_texas_indoor_table():
    # 1.6 x 6 + 2.2 x 5 + 2.2 x 5 + 9.5 x 0.1 + 27 x 0.3 = 40.65 gal a person and day.
    names = ("toilet", "shower", "faucets", "dishwasher", "clothes washer")
    home = Household(1.0, tuple(fixture(name) for name in names))
    assert household_l(home, ONE_DAY)[0] / GAL == pytest.approx(40.65, abs=0.001)


@pytest.mark.parametrize(
    ("name", "gallons"), [("older toilet", 3.6), ("bath", 24), ("cooking", 3), ("car wash", 20)]
)
def test_washington_state_shore_stewards_per_use_found(name, gallons):
    assert fixture(name, 1.0).each_l / GAL == pytest.approx(gallons, abs=0.001)


def test_hose_for_thirty_minutes_takes_240_gallons_found():
    assert 30.0 * fixture("garden hose", 1.0).each_l / GAL == pytest.approx(240.0, abs=0.01)


def test_conserving_couple_found():
    # 35 gal a person and day, two people: 70 gal a day.
    assert people_l(People(2.0, 35.0 * GAL), ONE_DAY)[0] / GAL == pytest.approx(70.0)


def test_half_a_towns_year_can_go_to_the_garden():
    """A documented figure, from memory; the ET0, area and household here are chosen, not published.

    2.6 people x 58.6 gal = 152 gal a day indoors; 1,500 ft2 of average plants through a year whose
    ET0 averages 0.15 in/day at efficiency 0.75: 0.15 x 0.5 x 1,500 x 0.62 / 0.75 = 93 gal a day,
    38 % of the whole; of turf (factor 1.0) 186 gal a day, 55 %: from a third to a little over half.
    """
    home = Household(2.6, surveyed_household("reu_2016"))
    indoors_gal = household_l(home, ONE_DAY)[0] / GAL
    average, turf = (0.15 * factor * 1500 * 0.62 / 0.75 for factor in (0.5, 1.0))
    assert average / (average + indoors_gal) == pytest.approx(0.38, abs=0.01)
    assert turf / (turf + indoors_gal) == pytest.approx(0.55, abs=0.01)
