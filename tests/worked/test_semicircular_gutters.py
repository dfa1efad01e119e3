"""Gutters: Beij 1934 (equation in a copy of a hydrology manual, FOUND); UPC table from memory.

Beij in US units COMPUTED: 0.52 (w/12)^2.5 cubic feet a second x 448.83; the table is MEMORY.
"""

import pytest

from eavewell.faults import OutOfRange
from eavewell.hydraulics.code_tables import gutter_l_s_code
from eavewell.hydraulics.gutters import counted_section_mm2, gutter_l_s, gutter_l_s_beij
from eavewell.hydraulics.roof_methods import method_called
from eavewell.site.gutter import Gutter

FT2, IN, GAL_MIN = 0.3048**2, 25.4, 3.785411784 / 60.0
BEIJ = {3: 7.3, 4: 15.0, 5: 26.2, 6: 41.3, 8: 84.7, 10: 148.0}
LEVEL_FT2 = {3: 680, 4: 1440, 5: 2500, 6: 3840, 8: 7960, 10: 14400}
STEEPER = {1 / 8: (960, 2040, 3520, 5440), 1 / 4: (1360, 2880, 5000, 7680)}


@pytest.mark.parametrize(("width_in", "gal_min"), BEIJ.items())
def test_beij(width_in, gal_min):
    flow = gutter_l_s_beij(width_in * IN) / GAL_MIN
    assert flow == pytest.approx(gal_min, rel=0.01)
    # 7.48052 gal/ft3 x 60 s
    assert flow == pytest.approx(0.52 * (width_in / 12) ** 2.5 * 448.831, rel=1e-5)


@pytest.mark.parametrize(("width_in", "area_ft2"), LEVEL_FT2.items())
def test_beij_meets_the_code_table_at_its_gentlest_fall(width_in, area_ft2):
    table = gutter_l_s_code(width_in * IN, 1 / 192, edition="UPC and IPC to 2015")
    assert table == pytest.approx(area_ft2 * FT2 * IN / 3600)
    assert gutter_l_s_beij(width_in * IN) == pytest.approx(table, rel=0.035)


@pytest.mark.parametrize(("in_per_ft", "areas"), STEEPER.items())
def test_steeper_gutters(in_per_ft, areas):
    for width_in, area_ft2 in zip((3, 4, 5, 6), areas, strict=True):
        table = gutter_l_s_code(width_in * IN, in_per_ft / 12, edition="UPC and IPC to 2015")
        assert table == pytest.approx(area_ft2 * FT2 * IN / 3600)


def test_a_level_gutter_is_below_the_code_table():
    with pytest.raises(OutOfRange):
        gutter_l_s_code(125, 0.0, edition="UPC and IPC to 2015")
    unknown = Gutter("north", "half-round", 127.0, 10.0)
    with pytest.raises(OutOfRange, match="fall"):
        gutter_l_s(unknown, method_called("IPC 2018"))


def test_sweep_of_beij():
    flows = [gutter_l_s_beij(width) for width in range(50, 401)]
    assert flows == sorted(flows)
    assert gutter_l_s_beij(200) / gutter_l_s_beij(100) == pytest.approx(2**2.5)
    for width in (40, 401):
        with pytest.raises(OutOfRange):
            gutter_l_s_beij(width)


def test_rectangular_gutters_count_as_the_half_round_of_their_area():
    """Depth at least 0.75 of the width, else no wider than that; ogee 0.75 (common practice)."""
    deep = Gutter("a", "rectangular", 100.0, 10.0, depth_mm=80.0)
    shallow = Gutter("b", "rectangular", 100.0, 10.0, depth_mm=60.0)
    ogee = Gutter("c", "ogee", 100.0, 10.0, depth_mm=80.0)
    assert counted_section_mm2(deep) == 8000
    assert counted_section_mm2(shallow) == pytest.approx(80 * 60)
    assert counted_section_mm2(ogee) == 6000
    with pytest.raises(OutOfRange, match="depth"):
        counted_section_mm2(Gutter("d", "ogee", 100.0, 10.0))


def test_two_downspouts_carry_the_run_in_two_parts():
    one = Gutter("north", "half-round", 127.0, 10.0)
    two = Gutter("north", "half-round", 127.0, 10.0, spouts=2)
    beij = method_called("Beij")
    assert gutter_l_s(one, beij) / GAL_MIN == pytest.approx(26.2, rel=0.01)
    assert gutter_l_s(two, beij) == pytest.approx(2 * gutter_l_s(one, beij))
