"""EPA 815-R-20-003 and the ratio of 40 CFR 141.534, for a house line of 8 gal/min.

FOUND: contact at 20 C, pH 7 and 1 mg/L is 56 mg min/L for three logs of Giardia, 3 for four of
virus. DERIVED: 4,480 and 240 gal where the first water stays a tenth of the time.
"""

from dataclasses import replace

import pytest

from eavewell.units import read

GAL = read("1 gal", "volume")


@pytest.fixture
def logs(made_up_barriers, making):
    made, barriers = made_up_barriers, made_up_barriers.Barriers(making)

    def _logs(gallons, *, water=None, gpm=8.0, baffle=0.1, mg_l=1.0):
        tank = made.with_works(
            made.CONTACT, least_l=gallons * GAL, baffle=baffle, residual_mg_l=mg_l
        )
        line = made.line(made.CHLORINE, tank, made.TEST_POINT)
        fields = {"largest_l_s": gpm * made.GPM, "water": water or made.WATER}
        (run,) = barriers.run(line, **fields)
        return {one.organism: one.logs for one in run.against}

    return _logs


def test_the_tanks_of_the_example(logs):
    assert logs(4480)["giardia"] == pytest.approx(3.0)
    assert logs(240)["virus"] == pytest.approx(4.0)


@pytest.mark.parametrize("share", [0.1, 0.25, 0.5, 0.9])
def test_a_smaller_tank_earns_its_share(logs, share):
    assert logs(4480 * share)["giardia"] == pytest.approx(3.0 * share)
    assert logs(240 * share)["virus"] == pytest.approx(4.0 * share)


def test_a_larger_tank_earns_no_more_than_the_table(logs):
    assert logs(45_000) == {"cryptosporidium": 0.0, "giardia": 3.0, "virus": 4.0}


def test_half_the_flow_or_five_times_the_baffle(logs):
    assert logs(2240, gpm=4.0)["giardia"] == pytest.approx(3.0)
    assert logs(896, baffle=0.5)["giardia"] == pytest.approx(3.0)


def test_a_third_of_the_tank_is_one_log(logs):
    # the table: n logs are n thirds of three
    assert logs(4480 / 3)["giardia"] == pytest.approx(1.0)


def test_cold_water_takes_the_colder_row(logs, made_up_barriers):
    """4 C counts as 0.5 C, 210 mg min/L at pH 7 and 1 mg/L; virus 12."""
    cold = replace(made_up_barriers.WATER, coldest_c=4.0)
    assert logs(4480, water=cold)["giardia"] == pytest.approx(3.0 * 56 / 210)
    assert logs(240, water=cold)["virus"] == pytest.approx(4.0 * 3 / 12)


def test_more_chlorine_asks_for_a_little_more_contact(logs):
    """2 mg/L doubles the contact, and the table then asks for 62 in place of 56."""
    assert logs(1120, mg_l=2.0)["giardia"] == pytest.approx(3.0 * 28 / 62)
    assert logs(60, mg_l=2.0)["virus"] == pytest.approx(4.0 * 1.5 / 3)
