"""Checks on rain within the day: each fires, keeps silent, and is answered by its way out."""

from dataclasses import replace

import numpy as np
import pytest

from eavewell.findings.within_day import within_day_trusted
from eavewell.weather.anchor import Anchored, Maximum
from eavewell.weather.within_day import WithinDay

SAME = (Maximum(5, 2, 100.0, 100.0), Maximum(60, 2, 30.0, 30.0))
SOFT = (Maximum(5, 2, 70.0, 100.0), Maximum(60, 2, 30.0, 30.0))
SHARP = (Maximum(5, 2, 130.0, 100.0), Maximum(60, 2, 30.0, 30.0))


def within(maxima=SAME, hour=1.0, minutes=5):
    anchor = None if maxima is None else Anchored(maxima, hour)
    empty = (np.zeros(0, np.int64), np.zeros((0, 288), np.float32))
    return WithinDay(*empty, minutes, "next valley", "said", anchor)


@pytest.fixture
def barn(making):
    tanks = (making.tank(), making.tank(name="pit", is_sump=True))
    return making.site(tanks=tanks)


def codes(site, one):
    return [finding.code for finding in within_day_trusted(site, one)]


def test_a_donor_of_short_steps_and_the_sites_storms_is_silent(barn):
    assert codes(barn, within()) == []


def test_a_sump_without_a_donor_is_not_checked(barn, making):
    assert codes(barn, None) == ["within-day-not-checked"]
    assert codes(making.site(), None) == []


def test_steps_of_an_hour(barn):
    hourly = within(minutes=60)
    (finding,) = within_day_trusted(barn, hourly)
    assert (finding.code, finding.measured, finding.limit) == ("donor-steps-too-long", 60, 15)
    assert "understated" in finding.says
    assert codes(barn, replace(hourly, minutes=15)) == []


def test_storms_unknown(barn):
    assert codes(barn, within(None)) == ["within-day-intensity-unknown"]


@pytest.mark.parametrize(("maxima", "word"), [(SOFT, "understated"), (SHARP, "overstated")])
def test_storms_apart_from_the_sites(barn, maxima, word):
    (finding,) = within_day_trusted(barn, within(maxima))
    assert finding.code == "within-day-intensity-unknown"
    assert word in finding.says
    assert finding.measured == pytest.approx(maxima[0].ratio)
    assert finding.limit == pytest.approx(0.85 if maxima is SOFT else 1.15)


def test_a_donor_whose_hour_is_too_weak(barn):
    (finding,) = within_day_trusted(barn, within(hour=0.6))
    assert "0.60 of the site's" in finding.says
