"""A record made ready: gaps filled once, carried to the site, cold days waiting as snow."""

from datetime import date

import numpy as np
import pytest

from eavewell.faults import BadRecord
from eavewell.site.place import Place
from eavewell.site.rain import Rain
from eavewell.weather.ready import ready_days, ready_rain

PLACE = Place(45.0, -90.0, 300.0)
TODAY = date(2026, 1, 1)


def test_the_quality_is_that_of_the_record_as_read(making):
    rain = making.wet_and_dry(3)
    rain[10:20] = np.nan
    found = ready_rain(making.record(rain), Rain(record="x"), place=PLACE, today=TODAY)
    assert found.quality.longest_gap_days == 10
    assert not found.record.missing.any()
    assert found.where.distance_km is None


def test_the_figures_are_those_of_the_rain_at_the_site(making):
    record = making.record(making.wet_and_dry(3))
    plain, twice = (
        ready_rain(record, rain, place=PLACE, today=TODAY).figures
        for rain in (Rain(at_site=True), Rain(site_factor=(2.0,) * 12))
    )
    assert twice.mean_year_mm == pytest.approx(2.0 * plain.mean_year_mm)


def test_days_without_temperatures_have_no_snow(making):
    found = ready_days(making.record(making.wet_and_dry(2)), PLACE)
    assert (found.days.tmax_c, found.days.snow_melt_mm) == (None, None)
    assert not np.isnan(found.days.et0_mm).any()
    assert found.says


def test_cold_rain_waits_and_no_water_is_lost(making):
    # A winter of -10 C, 20 mm on its tenth day; from day 91 on it is 20 C.
    count = 400
    rain = np.zeros(count)
    rain[[9, 200]] = 20.0
    cold = np.where(np.arange(count) < 90, -10.0, 20.0)
    record = making.record(rain, tmax_c=cold + 2.0, tmin_c=cold - 2.0)
    found = ready_days(record, PLACE)
    assert found.days.rain_mm[:90].sum() == 0.0
    assert found.days.rain_mm.sum() == pytest.approx(40.0)
    assert found.days.snow_melt_mm.sum() == pytest.approx(20.0)
    assert "50.0 % of the precipitation fell as snow and melted later." in found.says


def test_a_warm_record_says_nothing_of_snow(making):
    rain = making.wet_and_dry(2)
    warm = np.full(rain.size, 20.0)
    found = ready_days(making.record(rain, tmax_c=warm + 5, tmin_c=warm - 5), PLACE)
    assert found.days.snow_melt_mm is None
    assert not any("snow" in said for said in found.says)


@pytest.mark.parametrize(("depth_mm", "likely"), [(0.3, "in"), (127.0, "mm")])
def test_a_likely_slip_of_the_unit_is_refused_until_the_unit_is_stated(making, depth_mm, likely):
    # Every third day: 0.3 is 37 in a year, wet but real; 127 mm is 15.5 m, more than any place has.
    record = making.record(np.tile([0.0, 0.0, depth_mm], 300))
    with pytest.raises(BadRecord, match=f'say unit = "{likely}".*unit = "in" or unit = "mm"'):
        ready_rain(record, Rain(record="x"), place=PLACE, today=TODAY)
    stated = ready_rain(record, Rain(record="x", unit="mm"), place=PLACE, today=TODAY)
    assert stated.quality.unit_slip
