"""Roof, tank and use beside one another: each check fires, keeps silent, and its way out passes."""

from datetime import date

import pytest

from eavewell.design import design
from eavewell.findings.proportion import roof_and_tank_fit, wants_believed
from eavewell.site.goal import Goal
from eavewell.site.want import People


@pytest.fixture(scope="module")
def designed(making):
    record = making.record(making.every_tenth_day(3650, 10.0), latitude=30.0, longitude=-98.0)

    def build(**fields):
        return design(making.site(**fields), record, today=date(2011, 1, 1))

    return build


def codes(found, check):
    return [one.code for one in check(found)]


def test_a_tank_and_roof_that_fit_are_silent(designed):
    # 10 m2 x 10 mm x 0.95 less wetting every tenth day; 8 L a day; 200 L
    found = designed()
    assert codes(found, roof_and_tank_fit) == []


def test_a_tank_that_its_roof_never_fills(designed, making):
    huge = (making.tank(5000.0),)
    thirsty = (making.use(12.0),)
    found = designed(tanks=huge, uses=thirsty, goals=(Goal("house", "supplied_share", 0.5),))
    (finding,) = roof_and_tank_fit(found)
    assert finding.code == "tank-seldom-full"
    assert finding.measured < finding.limit
    smaller = (making.tank(found.sizing.smallest_l),)
    again = designed(tanks=smaller, uses=thirsty, goals=(Goal("house", "supplied_share", 0.5),))
    assert again.sizing.meets_goal


def test_a_roof_whose_water_mostly_spills(designed, making):
    small = (making.tank(30.0),)
    found = designed(tanks=small)
    assert not found.sizing.meets_goal
    (finding,) = roof_and_tank_fit(found)
    assert finding.code == "roof-mostly-spilled"
    larger = (making.tank(found.sizing.smallest_l),)
    assert codes(designed(tanks=larger), roof_and_tank_fit) == []


@pytest.mark.parametrize(("each_l", "found"), [(100.0, ["use-below-surveys"]), (200.0, [])])
def test_people_who_use_less_than_any_survey(designed, making, each_l, found):
    # the most sparing survey: 31.0 + 37.9 + 33.3 + 40.9 + 15.1 + 6.1 + 4.5 + 2.6 = 171.5 L a day
    from dataclasses import replace

    use = replace(making.use(), wants=(People(1.0, each_l),))
    made = designed(uses=(use,), tanks=(making.tank(4000.0),), roofs=(making.roof(500.0),))
    assert codes(made, wants_believed) == found
    for one in wants_believed(made):
        assert one.limit == pytest.approx(171.5, abs=0.1)
