"""Vertical leaders: NSPC 2006 t. 13.6.1, IPC 2018 t. 1106.2, an old city table (copies, FOUND).

UPC leader areas from memory (MEMORY). The Wyly-Eaton constant 27.8 is MEMORY, met by the table.
"""

import pytest

from eavewell.faults import OutOfRange
from eavewell.hydraulics.code_tables import leader_l_s_code, size_mm_by_area_alone
from eavewell.hydraulics.downspouts import downspout_l_s_wyly_eaton
from eavewell.hydraulics.roof_area import roof_flow_l_s

FT2, IN, GAL_MIN = 0.3048**2, 25.4, 3.785411784 / 60.0
NSPC = {2: 23, 3: 67, 4: 144, 5: 261, 6: 424, 8: 913, 10: 1655, 12: 2692}
NSPC_FT2 = {2: 2180, 3: 6426, 4: 13840, 5: 25094, 6: 40805, 8: 87878}
IPC = {2: 34, 3: 87, 4: 180, 5: 311, 6: 538, 8: 1117, 10: 2050, 12: 3272, 15: 5543}
UPC_FT2 = {2: 2880, 3: 8800, 4: 18400, 5: 34600, 6: 54000, 8: 116000}


@pytest.mark.parametrize(("bore_in", "gal_min"), NSPC.items())
def test_nspc_2006(bore_in, gal_min):
    assert leader_l_s_code(bore_in * IN, "NSPC 2006") / GAL_MIN == pytest.approx(gal_min)
    within = 0.02 if bore_in == 2 else 0.005
    formula = downspout_l_s_wyly_eaton(bore_in * IN, 7 / 24) / GAL_MIN
    assert formula == pytest.approx(gal_min, rel=within)


@pytest.mark.parametrize(("bore_in", "area_ft2"), NSPC_FT2.items())
def test_nspc_2006_areas_at_one_inch_an_hour(bore_in, area_ft2):
    # the page's own areas stand 0.5 % from 96.25 ft2 per gal/min; two inches carries 22.65
    flow = roof_flow_l_s(area_ft2 * FT2, IN) / GAL_MIN
    assert flow == pytest.approx(NSPC[bore_in], rel=0.016)


def test_four_inch_leader_at_four_inches_an_hour():
    carried = leader_l_s_code(4 * IN, "NSPC 2006")
    assert roof_flow_l_s(3460 * FT2, 4 * IN) == pytest.approx(carried, rel=0.002)


@pytest.mark.parametrize(("bore_in", "gal_min"), IPC.items())
def test_ipc_2018(bore_in, gal_min):
    assert leader_l_s_code(bore_in * IN, "IPC 2018") / GAL_MIN == pytest.approx(gal_min)


@pytest.mark.parametrize(("bore_in", "gal_min"), [(2, 28), (3, 83), (4, 180), (5, 326), (6, 530)])
def test_a_third_full(bore_in, gal_min):
    assert downspout_l_s_wyly_eaton(bore_in * IN, 1 / 3) / GAL_MIN == pytest.approx(gal_min, 0.015)


@pytest.mark.parametrize(("bore_in", "area_ft2"), UPC_FT2.items())
def test_upc_from_memory(bore_in, area_ft2):
    assert leader_l_s_code(bore_in * IN, "UPC") == pytest.approx(area_ft2 * FT2 * IN / 3600)


@pytest.mark.parametrize(
    ("area_ft2", "bore_in"),
    [(720, 2), (1300, 2.5), (2150, 3), (4600, 4), (8300, 5), (13000, 6), (29000, 8), (721, 2.5)],
)
def test_an_old_city_table(area_ft2, bore_in):
    edition = "Chicago, by area alone"
    assert size_mm_by_area_alone(area_ft2 * FT2, what="leader", edition=edition) == bore_in * IN


def test_an_old_city_table_is_the_code_at_four_inches_an_hour():
    assert size_mm_by_area_alone(4600 * FT2, what="leader", edition="Chicago, by area alone") == (
        4 * IN
    )
    assert 18400 / 4 == 4600


@pytest.mark.parametrize(
    ("area_ft2", "gutter_in", "leader_in"),
    [(90, 3, 1.5), (271, 4, 2.5), (810, 4, 2.5), (1000, 5, 3), (3600, 6, 4)],
)
def test_an_old_town_table(area_ft2, gutter_in, leader_in):
    for what, inches in (("gutter", gutter_in), ("leader", leader_in)):
        found = size_mm_by_area_alone(area_ft2 * FT2, what=what, edition="a town, by area alone")
        assert found == inches * IN


def test_what_a_table_leaves_out_is_refused():
    # the town's page gives no row from 91 to 270 ft2
    with pytest.raises(OutOfRange):
        size_mm_by_area_alone(150 * FT2, what="leader", edition="a town, by area alone")
    with pytest.raises(OutOfRange):
        leader_l_s_code(40, "NSPC 2006")
    with pytest.raises(OutOfRange, match="known are"):
        leader_l_s_code(100, "NSPC 1066")


def test_a_bore_between_two_takes_the_less():
    assert leader_l_s_code(3.5 * IN, "NSPC 2006") / GAL_MIN == pytest.approx(67)
    # schedule 40 five-inch pipe is 128.2 mm, more than its name; thin tubing a little less
    assert leader_l_s_code(128.19, "NSPC 2006") / GAL_MIN == pytest.approx(261)
    assert leader_l_s_code(98.0, "NSPC 2006") / GAL_MIN == pytest.approx(144)


def test_wyly_eaton_rises_with_bore_and_filling():
    flows = [downspout_l_s_wyly_eaton(bore) for bore in range(25, 401, 5)]
    assert flows == sorted(flows)
    filled = [downspout_l_s_wyly_eaton(100, share / 1000) for share in range(200, 334)]
    assert filled == sorted(filled)
    assert min(filled) > 0
    # twice the bore carries 2^(8/3) as much
    double = downspout_l_s_wyly_eaton(200) / downspout_l_s_wyly_eaton(100)
    assert double == pytest.approx(2 ** (8 / 3))
    for bore, share in ((20, 0.3), (500, 0.3), (100, 0.1), (100, 0.5)):
        with pytest.raises(OutOfRange):
            downspout_l_s_wyly_eaton(bore, share)
