"""K-State Beef Tips 2018 (3.14 r2 d / 231), algebra.com 80260, Kains' cistern table; all FOUND.

Kains prints 4,888 gal for the square cistern of 8 x 8 x 10 ft; that is an error of the source, and
640 ft3 at 231 in3 to the gallon are 4,787.5 gal.
"""

import math

import pytest

from eavewell.site.tank_shape import Box, UprightCylinder
from eavewell.units import convert, read

INCH_M, GAL_L = 0.0254, 231 * 0.254**3  # a gallon is 231 cubic inches


def round_gal(diameter_in, height_in):
    shape = UprightCylinder(diameter_in * INCH_M, height_in * INCH_M)
    return shape.volume_l(shape.height_m) / GAL_L


@pytest.mark.parametrize(
    ("diameter_in", "height_in", "expected_gal", "digits"),
    [
        (144, 24, 1692.05, 0.01),
        (104, 144, 5295.5, 0.1),
        (120, 96, 4700.1, 0.1),
        (264, 120, 28436, 1.0),
    ],
)
def test_round_tanks(diameter_in, height_in, expected_gal, digits):
    assert round_gal(diameter_in, height_in) == pytest.approx(expected_gal, abs=digits)


def test_the_sheet_with_pi_of_3_14_is_within_a_thousandth():
    # 3.14 x 72 x 72 x 24 / 231 = 1,691.2
    assert round_gal(144, 24) == pytest.approx(3.14 * 72 * 72 * 24 / 231, rel=1e-3)


def test_the_square_cistern():
    shape = Box(8 * 12 * INCH_M, 8 * 12 * INCH_M, 10 * 12 * INCH_M)
    # 640 ft3 x 1728 / 231
    assert shape.volume_l(shape.height_m) / GAL_L == pytest.approx(4787.5, abs=0.1)


def test_a_stated_size_may_not_be_the_size_to_the_rim():
    """COMPUTED: 8 ft x 7 ft 6 in hold 2,820 gal to the rim, though they are sold as 2,600."""
    shape = UprightCylinder(read("8 ft", "length"), read("7 ft 6 in", "length"))
    gallons = convert(shape.volume_l(shape.height_m), "volume", unit="gal")
    assert gallons == pytest.approx(math.pi / 4 * 96**2 * 90 / 231, rel=1e-9)
    assert gallons == pytest.approx(2820, abs=0.5)
