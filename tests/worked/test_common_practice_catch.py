"""Common practice, no source: what a roof brings by the inch, within 10 %."""

import numpy as np
import pytest

from eavewell.catchment.runoff import runoff_mm
from eavewell.demand.daily import demand_l
from eavewell.site.first_flush import FirstFlush
from eavewell.site.roof import Plane, Roof
from eavewell.site.use import Use
from eavewell.site.want import People, Washing
from eavewell.weather.days import Days

GAL, FT2, INCH = 3.785411784, 0.09290304, 25.4


def storm_gal(area_ft2, inches, **more):
    roof = Roof("any", (Plane("all", area_ft2 * FT2),), "painted steel", **more)
    litres = runoff_mm(roof, np.array([inches * INCH]), band="high") * roof.plan_area_m2
    return litres[0] / GAL


@pytest.mark.parametrize(
    ("area_ft2", "inches", "gallons"),
    [
        (1, 1.0, 0.6),
        (1500, 1.0, 950),
        (5000, 1.0, 3000),
        (1500, 1.1, 1000),  # a 1,000 gal tank fills with slightly over an inch
    ],
)
def test_gallons_by_the_inch(area_ft2, inches, gallons):
    # A well-kept metal roof: the high end of the range, 0.95 after wetting.
    assert storm_gal(area_ft2, inches) == pytest.approx(gallons, rel=0.10)


def test_two_people_and_the_outdoors_in_less_than_nine_inches_as_a_yearly_total():
    """COMPUTED. A yearly total at efficiency 0.90, not a reliability.

    2 x 17 + 35 = 69 gal a day, 25,185 gal a year; 5,000 ft2 x 0.62338 gal/in x 0.90 gives
    2,805.2 gal by the inch: 8.98 in. With no loss 8.08 in, at 0.85 9.51 in.
    """
    days = Days(np.datetime64("2001-01-01") + np.arange(365), np.zeros(365), np.zeros(365))
    wants = (People(2, 17 * GAL), Washing("outdoors", 35 * GAL))
    year_gal = demand_l(Use("home", "indoor", wants, ("main",)), days).sum() / GAL
    assert year_gal == pytest.approx(25185)
    for efficiency, inches in ((1.0, 8.08), (0.90, 8.98), (0.85, 9.51)):
        assert year_gal / (5000 * 144 / 231 * efficiency) == pytest.approx(inches, abs=0.005)


def test_first_flush_of_ten_gallons_for_a_thousand_square_feet():
    """2,500 ft2: 25 gal, 0.0160 in (DERIVED from a page that repeats the Texas manual)."""
    whole = storm_gal(2500, 1.0)
    flushed = storm_gal(2500, 1.0, first_flush=FirstFlush(volume_l=25 * GAL))
    assert whole - flushed == pytest.approx(25.0)
    by_depth = storm_gal(2500, 1.0, first_flush=FirstFlush(depth_mm=0.0160 * INCH))
    assert whole - by_depth == pytest.approx(25.0, abs=0.1)
