"""The overnight test as it is typed; the tanks are invented and every figure is worked by hand."""

import math
import re

import pytest

from eavewell.faults import EavewellFault
from eavewell.logbook.leaks.shut_said import shut_said
from eavewell.logbook.leaks.shut_test import BadShutTest
from eavewell.site.gauge import Gauge, Log
from eavewell.site.tank_shape import UprightCylinder

L_PER_MM = math.pi * 1.0**2  # of one tank 2 m wide
# 3 mm of error in one reading
STICK = Gauge("rod", "level", of="row", how="stick", unit="cm", noise=0.003)


@pytest.fixture
def site(making):
    row = making.tank(22_000.0, name="row", shape=UprightCylinder(2.0, 2.5), count=3)
    return making.site(tanks=(row,), uses=(), log=Log(gauges=(STICK,)))


def test_a_fall_beyond_the_readings_is_a_leak(site):
    found = shut_said(site, "row", before=["120", "120.2"], after=["117", "117.2"], hours="12 h")
    # 30 mm of three tanks in half a day
    assert found.test.l_day == pytest.approx(30 * 3 * L_PER_MM * 2)
    assert found.test.leaks
    # 4.945 standard errors of a difference of two means of two: 3 mm
    assert found.test.limit_l_day == pytest.approx(4.945 * 3 * 3 * L_PER_MM * 2)
    said = " ".join(found.says)
    assert "Shut for 12 hours it fell by" in said and "It leaks:" in said
    assert "To find which: close the valves" in said


def test_one_tank_of_the_row_alone(site):
    found = shut_said(site, "row", before=["120"], after=["117"], hours="24 h", alone=True)
    assert found.test.l_day == pytest.approx(30 * L_PER_MM)
    assert "To find which" not in " ".join(found.says)


def test_nothing_seen_says_what_would_have_been(site):
    found = shut_said(site, "row", before=["120"], after=["119.8"], hours="12 h")
    assert not found.test.leaks
    assert re.search(r"No leak seen: one of [\d,]+ gal/day or more", " ".join(found.says))


def test_water_that_came_in_is_no_test(site):
    found = shut_said(site, "row", before=["117"], after=["120"], hours="12 h")
    assert "Water came in" in " ".join(found.says)


@pytest.mark.parametrize("hours", ["0 h", "twelve", "12"])
def test_a_time_that_is_none_is_a_sentence(site, hours):
    with pytest.raises((BadShutTest, EavewellFault)):
        shut_said(site, "row", before=["120"], after=["117"], hours=hours)
