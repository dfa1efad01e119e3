"""Trade article on buoyancy (onsite installers, November 2019): a 67 in x 65 in cylinder.

FOUND: 132.6 ft3. COMPUTED: 8,275 lb of water displaced.
"""

import pytest

from eavewell.site.base import Burial
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import UprightCylinder
from eavewell.structure.uplift import uplift

INCH, LB = 0.0254, 0.45359237


def buried(groundwater_m=0.0, **fields):
    shape = UprightCylinder(67 * INCH, 65 * INCH)
    sizes = {"base_m": -65 * INCH, "empty_kg": 200.0}
    return Tank("t", shape=shape, burial=Burial(groundwater_m=groundwater_m), **(sizes | fields))


def test_an_empty_cylinder_wholly_under_water():
    assert uplift(buried()).lifts_kg / LB == pytest.approx(8275, rel=0.002)


def test_half_under_water_lifts_half():
    half = uplift(buried(groundwater_m=-32.5 * INCH))
    assert half.lifts_kg == pytest.approx(uplift(buried()).lifts_kg / 2)
    assert uplift(buried(groundwater_m=-5.0)).lifts_kg == 0.0
    assert uplift(buried(groundwater_m=-5.0)).factor == float("inf")


def test_what_is_unknown_is_named():
    assert uplift(buried(groundwater_m=None)).unknown == ("highest groundwater",)
    assert uplift(buried(empty_kg=None)).unknown == ("weight of the empty tank",)
    assert uplift(buried(groundwater_m=-5.0, empty_kg=None)).unknown == ()
