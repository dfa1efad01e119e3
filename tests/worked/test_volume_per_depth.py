"""Volume of rain on a roof: definitions, AgriLife E-450, Kains, NM OSE 2009 and others (FOUND).

The roofs here lose nothing, so that the geometry and the units stand alone.
"""

import pytest

from eavewell.site.roof import Plane, Roof
from eavewell.units import read

GAL = 3.785411784


def gallons(inches, *areas_ft2):
    planes = tuple(Plane(f"{n}", read(f"{area} ft2", "area")) for n, area in enumerate(areas_ft2))
    return Roof("any", planes, "metal").plan_area_m2 * read(f"{inches} in", "depth") / GAL


@pytest.mark.parametrize(
    ("inches", "area_ft2", "expected_gal", "within_gal"),
    [
        (1.0, 1, 144 / 231, 1e-9),  # 231 in3 in a gallon
        (1.0, 1, 0.62, 0.004),  # Texas 2005, from memory
        (1.0, 1, 0.6, 0.03),  # AgriLife E-450: about 0.6 gal
        (1.0, 1000, 600, 30),  # Lancaster 2006, appendix 3: a round figure
        (1.0, 43560, 27000, 200),  # the same, one acre
        (1.0, 1000, 623, 0.5),  # a home power article
        (1.5, 1200, 1125, 3),  # Kains, "divide by 1.6"; exact 1,122.1
        (1.0, 120, 74.76, 0.1),  # x 0.623
        (1.5, 400, 373.8, 0.3),  # x 0.623
    ],
)
def test_published_volumes(inches, area_ft2, expected_gal, within_gal):
    assert gallons(inches, area_ft2) == pytest.approx(expected_gal, abs=within_gal)


def test_two_part_roof_of_nm_ose_figure_3_2():
    # 65 x 40 + 20 x 20 ft = 3,000 ft2 on plan.
    assert gallons(1.0, 2600, 400) == pytest.approx(gallons(1.0, 3000))


def test_plan_area_not_slope():
    # 19 x 10 m footprint, not 19 x 14 m of slope: 190 m2 x 243 mm = 46,170 L.
    roof = Roof("house", (Plane("plan", 19.0 * 10.0),), "clay tile")
    assert roof.plan_area_m2 * 243.0 == pytest.approx(46170)
