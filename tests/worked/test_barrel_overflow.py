"""Common practice, no source: a 2 inch overflow on a barrel; arithmetic of 0.6 A sqrt(2 g h).

COMPUTED. A 168 ft2 shed roof at 4 in/h brings 168 x 4 / 96.25 = 7.0 gal/min, a 500 ft2 one 20.8. A
2 in hole whose centre lies 2 in under the rim passes 19.2 gal/min: enough for the shed, too little
for the larger roof, and half of it with a clogged screen.
"""

import math
from dataclasses import replace

import pytest

from eavewell.hydraulics.overflow import overflow_l_s
from eavewell.hydraulics.storm_inflow import storm_inflow_l_s
from eavewell.site.pipe import Pipe
from eavewell.site.roof import Plane, Roof
from eavewell.site.tank import Tank
from eavewell.site.tank_fittings import Overflow, TankFittings
from eavewell.site.tank_shape import UprightCylinder
from eavewell.weather.design_storm import Intensity

GAL_MIN = 3.785411784 / 60
INCH, FOOT2 = 0.0254, 0.09290304


class FourInches:
    """Rain of 4 in/h, whatever the storm."""

    def intensity(self, minutes, years):
        return Intensity(101.6, 101.6, 101.6, minutes, years, "invented")


def barrel(screened=False):
    # a 33 in barrel whose 2 in overflow begins 3 in below its rim: its centre lies 2 in under it
    overflow = Overflow(Pipe(50.8, 3.0), screened=screened)
    fittings = TankFittings(overflow=overflow)
    shape = UprightCylinder(22 * INCH, 33 * INCH)
    return Tank("barrel", shape=shape, overflow_m=30 * INCH, fittings=fittings)


def test_what_it_carries():
    area_ft2 = math.pi / 4 / 36
    by_hand = 0.6 * area_ft2 * math.sqrt(2 * 32.174 * 2 / 12) * 448.831
    assert by_hand == pytest.approx(19.2, abs=0.1)
    # slices of the opening against its centre: within 1 % with so much water over it
    assert overflow_l_s(barrel()) / GAL_MIN == pytest.approx(by_hand, rel=0.01)
    assert overflow_l_s(barrel(screened=True)) == pytest.approx(overflow_l_s(barrel()) / 2)


@pytest.mark.parametrize(("area_ft2", "gal_min", "holds"), [(168, 7.0, True), (500, 20.8, False)])
def test_what_comes(making, area_ft2, gal_min, holds):
    roof = Roof("roof", (Plane("all", area_ft2 * FOOT2),), "metal", "barrel")
    site = making.site(roofs=(roof,), tanks=(barrel(),))
    comes = storm_inflow_l_s(site, FourInches())["barrel"]
    assert comes / GAL_MIN == pytest.approx(gal_min, abs=0.05)
    assert comes / GAL_MIN == pytest.approx(area_ft2 * 4 / 96.25, rel=1e-3)
    assert (overflow_l_s(barrel()) >= comes) is holds


def test_two_overflows_carry_twice_as_much():
    one = barrel()
    both = replace(one.fittings.overflow, count=2)
    two = replace(one, fittings=replace(one.fittings, overflow=both))
    assert overflow_l_s(two) == pytest.approx(2 * overflow_l_s(one))
