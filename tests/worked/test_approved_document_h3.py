"""Eaves gutters and downpipes of EN 12056-3; Approved Document H3 table 2, 100 mm row (FOUND).

The other rows of table 2 and the outlet formula are MEMORY; downpipe formula FOUND in a copy,
its flows COMPUTED; long-gutter factors FOUND to 200 depths in a maker's table.
"""

import math

import pytest

from eavewell.faults import OutOfRange
from eavewell.hydraulics.downspouts import (
    downspout_l_s_en_12056,
    outlet_l_s,
    outlet_l_s_en_12056,
)
from eavewell.hydraulics.gutters import gutter_l_s_en_12056, long_gutter_factor
from eavewell.site.gutter import Downspout, Gutter

# width mm, roof m2 at 0.021 L/s per m2, flow L/s, outlet mm
H3 = [(75, 18, 0.38, 50), (100, 37, 0.78, 63), (115, 53, 1.11, 63), (125, 65, 1.37, 75)]
H3 += [(150, 103, 2.16, 89)]


def half_round(width_mm, length_m=1.0, **fields):
    area = math.pi / 8 * width_mm**2
    return gutter_l_s_en_12056(area, depth_mm=width_mm / 2, length_m=length_m, **fields)


@pytest.mark.parametrize(("width_mm", "roof_m2", "flow_l_s", "outlet_mm"), H3)
def test_table_2(width_mm, roof_m2, flow_l_s, outlet_mm):
    flow = half_round(width_mm)
    assert flow == pytest.approx(flow_l_s, rel=0.02)
    assert flow / 0.021 == pytest.approx(roof_m2, rel=0.02)
    # the table pairs gutters with outlets that hold them
    gutter = Gutter("north", "half-round", width_mm, 1.0)
    assert outlet_l_s(gutter, Downspout(bore_mm=outlet_mm)) > flow


def test_100_mm_half_round():
    assert half_round(100) == pytest.approx(0.778, abs=0.0005)
    assert half_round(100) / 0.021 == pytest.approx(37.0, rel=0.01)


@pytest.mark.parametrize(("depths", "factor"), [(50, 1.0), (100, 0.93), (150, 0.86), (200, 0.80)])
def test_long_gutters(depths, factor):
    assert long_gutter_factor(depths) == factor
    assert half_round(100, length_m=depths * 0.05) == pytest.approx(factor * half_round(100))


def test_a_corner_takes_fifteen_per_cent():
    assert half_round(100, corners=1) == pytest.approx(0.85 * half_round(100))


@pytest.mark.parametrize(
    ("bore_mm", "filled", "flow_l_s"),
    [
        (68, 0.33, 3.82),
        (75, 0.33, 4.97),
        (80, 0.33, 5.90),
        (100, 0.33, 10.69),
        (150, 0.33, 31.5),
        (100, 0.20, 4.65),
    ],
)
def test_downpipes(bore_mm, filled, flow_l_s):
    assert downspout_l_s_en_12056(bore_mm, filled) == pytest.approx(flow_l_s, rel=0.005)


def test_the_outlet_is_a_weir_then_an_orifice():
    def outlet(bore, head):
        return outlet_l_s_en_12056(head, area_mm2=math.pi / 4 * bore**2, rim_mm=math.pi * bore)

    assert outlet(80, 20) == pytest.approx(80 * 20**1.5 / 7500)
    assert outlet(80, 60) == pytest.approx(80**2 * 60**0.5 / 15000)
    # the two meet at half the bore, and the orifice is 0.6 A sqrt(2 g h)
    assert outlet(80, 40) == pytest.approx(80**2 * 40**0.5 / 15000)
    orifice = 0.6 * math.pi / 4 * 0.080**2 * math.sqrt(2 * 9.80665 * 0.060) * 1000
    assert outlet(80, 60) == pytest.approx(orifice, rel=0.015)
    heads = [outlet(80, head) for head in range(301)]
    assert heads == sorted(heads)
    assert heads[0] == 0


def test_sweeps():
    widths = [half_round(width) for width in range(50, 401, 2)]
    assert widths == sorted(widths)
    lengths = [half_round(100, length_m=length / 2) for length in range(1, 51)]
    assert lengths == sorted(lengths, reverse=True)
    assert lengths[-1] == pytest.approx(0.6 * lengths[0])
    bores = [downspout_l_s_en_12056(bore) for bore in range(25, 401)]
    assert bores == sorted(bores)


def test_refusals():
    with pytest.raises(OutOfRange):
        long_gutter_factor(501)
    with pytest.raises(OutOfRange):
        half_round(30)
    with pytest.raises(OutOfRange):
        downspout_l_s_en_12056(100, 0.5)
    with pytest.raises(OutOfRange):
        outlet_l_s_en_12056(400, area_mm2=1000, rim_mm=100)
