"""Horizontal storm drains: IPC 2018 t. 1106.2 on an engineering reference page (FOUND).

UPC-style drains from memory (MEMORY; 78 gal/min FOUND as 2,506 ft2 at 3 in/h). Manning COMPUTED.
"""

import math
from itertools import pairwise

import pytest

from eavewell.faults import OutOfRange
from eavewell.hydraulics.code_tables import drain_l_s_code, leader_l_s_code
from eavewell.hydraulics.horizontal_drains import drain_l_s, drain_l_s_manning, manning_n
from eavewell.hydraulics.roof_area import roof_flow_l_s
from eavewell.hydraulics.roof_methods import method_called

FT2, IN, GAL_MIN = 0.3048**2, 25.4, 3.785411784 / 60.0
FALLS = (1 / 16, 1 / 8, 1 / 4, 1 / 2)
IPC = {
    2: (15, 22, 31, 44),
    3: (39, 55, 79, 111),
    4: (81, 115, 163, 231),
    5: (117, 165, 234, 331),
    6: (243, 344, 487, 689),
    8: (505, 714, 1010, 1429),
    10: (927, 1311, 1855, 2623),
    12: (1480, 2093, 2960, 4187),
}
CELLS = [
    (bore, fall, flow) for bore, line in IPC.items() for fall, flow in zip(FALLS, line, strict=True)
]


def drain(bore_in, in_per_ft, edition):
    return drain_l_s_code(bore_in * IN, in_per_ft / 12, edition=edition) / GAL_MIN


@pytest.mark.parametrize(("bore_in", "fall", "gal_min"), CELLS)
def test_ipc_2018(bore_in, fall, gal_min):
    assert drain(bore_in, fall, "IPC 2018") == pytest.approx(gal_min)


@pytest.mark.parametrize(("bore_in", "line"), IPC.items())
def test_twice_the_fall_carries_root_two_as_much(bore_in, line):
    for gentle, steep in pairwise(line):
        assert steep == pytest.approx(gentle * math.sqrt(2), rel=0.016, abs=1.0)


@pytest.mark.parametrize(
    ("bore_in", "fall", "gal_min"), [(4, 1 / 96, 113.3), (4, 1 / 48, 160.3), (12, 1 / 96, 2122)]
)
def test_manning(bore_in, fall, gal_min):
    flow = drain_l_s_manning(bore_in * IN, fall, roughness_n=0.010) / GAL_MIN
    assert flow == pytest.approx(gal_min, rel=0.001)
    assert drain(bore_in, fall * 12, "IPC 2018") == pytest.approx(flow, rel=0.02)


@pytest.mark.parametrize("bore_in", [3, 4, 6, 8, 12])
def test_manning_meets_the_rows_that_are_in_line(bore_in):
    flow = drain_l_s_manning(bore_in * IN, 1 / 96, roughness_n=0.010) / GAL_MIN
    assert drain(bore_in, 1 / 8, "IPC 2018") == pytest.approx(flow, rel=0.05)


def test_the_five_inch_row_is_held_as_printed_and_not_fitted():
    # its neighbours' roughness would give 205 gal/min, the page gives 165
    assert drain(5, 1 / 8, "IPC 2018") == pytest.approx(165)
    assert drain_l_s_manning(5 * IN, 1 / 96, roughness_n=0.010) / GAL_MIN == pytest.approx(
        205, 0.01
    )


@pytest.mark.parametrize(
    ("bore_in", "fall", "gal_min"),
    [(3, 1 / 8, 34), (4, 1 / 8, 78), (6, 1 / 8, 222), (8, 1 / 8, 478), (3, 1 / 4, 48)],
)
def test_older_editions(bore_in, fall, gal_min):
    assert drain(bore_in, fall, "UPC") == pytest.approx(gal_min)


def test_editions_differ_by_half():
    assert drain(4, 1 / 8, "IPC 2018") / drain(4, 1 / 8, "UPC") == pytest.approx(115 / 78)


def test_three_inch_pipe_for_1500_square_feet():
    """Common practice, no source: it holds by one edition and not by the other."""
    asked = roof_flow_l_s(1500 * FT2, 4 * IN) / GAL_MIN
    assert asked == pytest.approx(62.3, abs=0.1)
    assert leader_l_s_code(3 * IN, "NSPC 2006") / GAL_MIN > asked
    assert drain(3, 1 / 8, "IPC 2018") < asked
    assert drain(3, 1 / 8, "UPC") < asked
    assert drain(3, 1 / 4, "IPC 2018") > asked
    assert drain(3, 1 / 4, "UPC") < asked


def test_sweep_of_manning():
    for n in (0.009, 0.010, 0.015):
        by_bore = [drain_l_s_manning(bore, 0.01, roughness_n=n) for bore in range(20, 1000, 20)]
        by_fall = [drain_l_s_manning(100, step / 1000, roughness_n=n) for step in range(1, 400)]
        assert by_bore == sorted(by_bore)
        assert by_fall == sorted(by_fall)
    rough = [drain_l_s_manning(100, 0.01, roughness_n=n / 1000) for n in range(8, 50)]
    assert rough == sorted(rough, reverse=True)
    assert drain_l_s_manning(100, 1e-12, roughness_n=0.01) < 1e-3


@pytest.mark.parametrize(
    ("bore_mm", "fall", "n"), [(5, 0.01, 0.01), (100, 0, 0.01), (100, 0.01, 1)]
)
def test_no_drain(bore_mm, fall, n):
    with pytest.raises(OutOfRange):
        drain_l_s_manning(bore_mm, fall, roughness_n=n)


def test_a_fall_below_the_table_is_refused_and_one_between_rounds_down():
    with pytest.raises(OutOfRange, match="begins at a fall"):
        drain(4, 1 / 32, "IPC 2018")
    assert drain(4, 0.2, "IPC 2018") == pytest.approx(115)


def test_roughness_of_a_material():
    assert manning_n("pvc") == 0.010
    with pytest.raises(OutOfRange):
        manning_n("straw")


@pytest.mark.parametrize(
    ("rules", "gal_min"),
    [("IPC 2018", 115), ("NSPC 2006", 78), ("UPC", 78), ("sheet metal", 113.3)],
)
def test_a_set_of_rules_names_its_edition_or_leaves_it_to_manning(rules, gal_min):
    flow = drain_l_s(4 * IN, 1 / 96, method=method_called(rules)) / GAL_MIN
    assert flow == pytest.approx(gal_min, abs=0.1)
