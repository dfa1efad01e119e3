"""Sump volume V = t q / 4: UFC 3-240-04A / EI 11C201 (FOUND formula; arithmetic by hand).

Starts an hour and the riser's drain-back: arithmetic on paper (COMPUTED).
"""

import pytest

from eavewell.faults import OutOfRange
from eavewell.hydraulics.sump_cycle import (
    between_floats_l,
    drained_back_l,
    least_run_min,
    most_starts_h,
    shortest_cycle_min,
    starts_allowed,
)
from eavewell.site.pump import Pump

GAL = 3.785411784
GPM = GAL / 60.0


@pytest.mark.parametrize(("gpm", "minutes", "gal"), [(60, 10, 150), (20, 15, 75)])
def test_volume(gpm, minutes, gal):
    assert between_floats_l(gpm * GPM, starts_h=60 / minutes) == pytest.approx(gal * GAL)
    assert shortest_cycle_min(gal * GAL, gpm * GPM) == pytest.approx(minutes)


def test_starts_are_not_upside_down():
    """60 gpm and 150 gal: a cycle of 10 minutes, 6 starts an hour, runs of 2.5 minutes."""
    assert most_starts_h(150 * GAL, 60 * GPM) == pytest.approx(6.0)
    assert least_run_min(150 * GAL, 60 * GPM) == pytest.approx(2.5)


def test_the_shortest_cycle_comes_at_half_the_pump_s_flow():
    """T = V q / (i (q - i)), headlosscalculator.com (FOUND), is least at i = q / 2."""
    volume, q = 100.0, 2.0
    cycles = {i: volume * q / (i * (q - i)) / 60.0 for i in (0.2, 0.6, 1.0, 1.4, 1.8)}
    assert min(cycles, key=cycles.get) == 1.0
    assert cycles[1.0] == pytest.approx(shortest_cycle_min(volume, q))


def test_a_riser_of_two_inches_and_forty_feet_holds_seven_gallons():
    """COMPUTED with the 2.067 in bore of Schedule 40."""
    assert drained_back_l(2.067 * 25.4, 40 * 0.3048) / GAL == pytest.approx(7.0, abs=0.05)


@pytest.mark.parametrize(("watts", "starts"), [(249, 15), (559.3, 15), (745.7, 7.5), (None, None)])
def test_starts_allowed_by_the_plate(watts, starts):
    """FOUND in a copy of a pressure-tank standard."""
    found = starts_allowed(Pump("p", "sump", ((0.0, 5.0), (1.0, 1.0)), motor_w=watts))
    assert (found.value if found else None) == starts


def test_nothing_moves_no_water():
    for volume, flow in ((0.0, 1.0), (1.0, 0.0), (-1.0, 1.0)):
        with pytest.raises(OutOfRange, match="moves no water"):
            most_starts_h(volume, flow)
