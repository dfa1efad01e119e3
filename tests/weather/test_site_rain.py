"""Rain carried to the site: the factor the user names, and no other."""

from datetime import date

import numpy as np
import pytest

from eavewell.faults import BadSite
from eavewell.site.place import Place
from eavewell.site.rain import Rain
from eavewell.site.rain_record import RainRecord, StepRain
from eavewell.weather.daily import daily
from eavewell.weather.greatest_rain import greatest_rain_mm_paulhus
from eavewell.weather.site_rain import at_site, from_site, great_circle_km


def record(**more):
    depth = np.full(59, 2.0)
    marks = np.zeros(59, dtype=np.uint16)
    return RainRecord("invented", date(2001, 1, 1), depth, marks, **more)


def test_monthly_factor():
    factors = (1.5, 0.5, *[1.0] * 10)
    moved = at_site(record(), Rain(site_factor=factors, factor_from="two normals"))
    assert moved.rain_mm[:31] == pytest.approx(np.full(31, 3.0))
    assert moved.rain_mm[31:] == pytest.approx(np.full(28, 1.0))
    assert "two normals" in moved.notes[-1]


def test_never_on_a_record_made_at_the_site():
    for rain, made in [(Rain(at_site=True, site_factor=(2.0,) * 12), False), (Rain(), True)]:
        moved = at_site(record(at_site=made), rain)
        assert moved.rain_mm == pytest.approx(np.full(59, 2.0))
        assert moved.at_site


def test_unknown_factor_is_said_with_distance_and_height():
    moved = at_site(record(station="XX1"), Rain(distance_km=19.312128, height_m=304.8))
    assert "Rain as at XX1, 12 mi away, 1,000 ft lower" in moved.notes[-1]


@pytest.mark.parametrize("factor", [(1.0,), (0.0,) * 12, (float("nan"),) * 12])
def test_a_factor_that_is_none(factor):
    with pytest.raises(BadSite, match="twelve"):
        at_site(record(), Rain(site_factor=factor))


def test_great_circle_by_arithmetic():
    # A quarter of the equator of a sphere of 6371 km: pi / 2 x 6371.
    quarter = great_circle_km(0.0, 0.0, to_latitude=0.0, to_longitude=90.0)
    assert quarter == pytest.approx(np.pi / 2 * 6371.0)
    assert great_circle_km(30.0, 179.5, to_latitude=30.0, to_longitude=-179.5) < 100.0


def test_far_by_common_practice():
    place = Place(30.0, -98.0, 500.0)
    where = from_site(
        record(latitude=30.0, longitude=-98.3, elevation_m=400.0), Rain(), place=place
    )
    # 0.3 degrees of longitude at latitude 30: 0.3 x 111.195 km x cos 30 = 28.9 km.
    assert where.distance_km == pytest.approx(28.89, abs=0.02)
    assert where.height_m == 100.0
    assert where.is_far


def test_daily_sums():
    starts = np.array(["2001-01-01T23:55", "2001-01-02T00:00", "2001-01-02T05:00"], "datetime64[m]")
    lost = frozenset({date(2001, 1, 3)})
    first, last = date(2001, 1, 1), date(2001, 1, 4)
    found = daily(StepRain("x", 5, starts, np.array([1.0, 2.0, 4.0]), first, last, lost))
    assert found.rain_mm == pytest.approx([1.0, 6.0, np.nan, 0.0], nan_ok=True)


def test_greatest_rain_from_memory_of_paulhus_1965():
    # 16.6 in x hours^0.475 is 421.6 mm at one hour; 24 h: 422 x 24^0.475 = 1909 mm.
    assert greatest_rain_mm_paulhus(60) == pytest.approx(421.6, rel=0.002)
    assert greatest_rain_mm_paulhus(1440) == pytest.approx(1909, rel=0.005)
