"""Flow off a roof: IPC 1106.2.1 (0.0104 I A) as quoted in a plumbers' forum; Q = I A / 96.23.

FOUND. The constant is COMPUTED as 7.48052 gal/ft3 / 12 / 60 = 0.010390; 0.014 is a known misprint.
"""

import pytest

from eavewell.faults import OutOfRange
from eavewell.hydraulics.roof_area import roof_flow_l_s

FT2, IN_H, GAL_MIN = 0.3048**2, 25.4, 3.785411784 / 60.0


def gal_min(area_ft2, in_h):
    return roof_flow_l_s(area_ft2 * FT2, in_h * IN_H) / GAL_MIN


def test_forum_example():
    # 2,506 ft2 at 3 in/h is the four-inch drain's 78.2 gal/min
    assert gal_min(2506, 3) == pytest.approx(78.2, abs=0.2)


def test_constant():
    assert gal_min(1, 1) == pytest.approx(7.48052 / 12 / 60, rel=1e-5)
    assert gal_min(96.25, 1) == pytest.approx(1.0, rel=1e-3)
    # rounded in the code to 0.0104, never 0.014
    assert gal_min(1000, 1) == pytest.approx(10.4, abs=0.05)


def test_one_inch_on_a_thousand_square_feet():
    assert gal_min(1000, 1) * 60 == pytest.approx(623, abs=0.5)


def test_no_negative_rain():
    with pytest.raises(OutOfRange):
        roof_flow_l_s(10, -1)
