"""Invented storms: they keep the day's depth, look like storms, and say that they are invented."""

import numpy as np
import pytest

from eavewell.faults import BadSite
from eavewell.weather.climates import climate_names
from eavewell.weather.invented_storms import climate_storms, parted_mm


def test_parting_a_day_keeps_its_depth():
    depths_mm = np.array([0.2, 5.0, 80.0])
    parted = parted_mm(depths_mm, rng=np.random.default_rng(3))
    assert parted.shape == (3, 288)
    assert parted.min() >= 0.0
    np.testing.assert_allclose(parted.sum(axis=1), depths_mm, rtol=1e-12)


@pytest.mark.parametrize("name", climate_names())
def test_a_made_up_record_is_marked_and_repeats(name):
    one, again = climate_storms(name, 3), climate_storms(name, 3)
    assert "invented" in one.name
    assert "invented" in one.notes[0]
    np.testing.assert_array_equal(one.rain_mm, again.rain_mm)
    assert np.all(np.diff(one.starts) > np.timedelta64(0, "m"))
    assert one.starts[0].astype("datetime64[D]") >= np.datetime64(one.first_day)


def test_short_storms_stand_to_the_hour_about_as_measured_ones_do():
    # 5-minute over 60-minute depth of yearly maxima: 0.26 to 0.29 in published tables; an
    # invented climate need only look like that, so the band is wide
    storms = climate_storms("dry-uplands", 30)
    minutes = (storms.starts - storms.starts[0].astype("datetime64[D]")).astype(int)
    whole = np.zeros(minutes.max() // 5 + 12)
    whole[minutes // 5] = storms.rain_mm
    hour = np.convolve(whole, np.ones(12), "valid")
    year = 288 * 365
    most = [[a[i * year : (i + 1) * year].max() for i in range(29)] for a in (whole, hour)]
    assert 0.2 < np.median(most[0]) / np.median(most[1]) < 0.4


def test_an_unknown_climate_is_refused():
    with pytest.raises(BadSite, match="no climate"):
        climate_storms("the moon")
