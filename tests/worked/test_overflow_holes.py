"""Arithmetic of 0.6 A sqrt(2 g h), COMPUTED by hand; no published table.

A 4 inch hole passes about 77 gal/min with 2 in of water over its centre and 109 with 4 in; a 2 inch
hole 19 gal/min with 2 in. A 500 ft2 roof at 4 in/h brings 21: 500 x 4 / 96.25.
"""

import math

import numpy as np
import pytest

from eavewell.faults import OutOfRange
from eavewell.hydraulics.openings import orifice_l_s, side_hole_l_s, weir_l_s

GAL_MIN = 3.785411784 / 60
INCH = 0.0254


@pytest.mark.parametrize(("bore_in", "head_in", "gal_min"), [(4, 2, 77), (4, 4, 109), (2, 2, 19)])
def test_a_hole_under_water(bore_in, head_in, gal_min):
    found = orifice_l_s(bore_in * 25.4, head_in * INCH)
    assert found / GAL_MIN == pytest.approx(gal_min, abs=0.6)
    # in feet and seconds: 0.6 x area x sqrt(2 x 32.174 h), 448.831 gal/min in a cubic foot a second
    area_ft2 = math.pi / 4 * (bore_in / 12) ** 2
    feet = 0.6 * area_ft2 * math.sqrt(2 * 32.174 * head_in / 12) * 448.831
    assert found / GAL_MIN == pytest.approx(feet, rel=1e-3)


def test_a_barrel_overflow_that_a_small_roof_passes_by():
    roof = 500 * 4 / 96.25
    assert roof == pytest.approx(20.8, abs=0.05)
    assert orifice_l_s(2 * 25.4, 2 * INCH) / GAL_MIN < roof


def test_a_hole_partly_under_water_runs_into_the_orifice():
    # far under water the slices and the one formula are the same; just covered within 4 %
    assert side_hole_l_s(100, 2.05) == pytest.approx(orifice_l_s(100, 2.0), rel=1e-3)
    assert side_hole_l_s(100, 0.1) == pytest.approx(orifice_l_s(100, 0.05), rel=0.04)
    flows = [side_hole_l_s(100, water) for water in np.linspace(0, 0.3, 40)]
    assert flows == sorted(flows)
    assert flows[0] == 0
    assert side_hole_l_s(100, -1) == 0


def test_a_weir_one_metre_wide():
    assert weir_l_s(1.0, 0.1) == pytest.approx(1700 * 0.1**1.5)
    assert weir_l_s(2.0, 0.1) == pytest.approx(2 * weir_l_s(1.0, 0.1))


def test_what_no_opening_has_is_refused():
    for hole in (lambda: orifice_l_s(50, -0.1), lambda: orifice_l_s(50, 1, cd=2.0)):
        with pytest.raises(OutOfRange):
            hole()
    for head in (-0.1, 3.0):
        with pytest.raises(OutOfRange):
            weir_l_s(1, head)
