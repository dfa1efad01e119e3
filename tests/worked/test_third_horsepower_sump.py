"""Common practice, no source: a float-switched third-horsepower pump lifts 5,000 ft2 of roof.

COMPUTED: arithmetic in the units of the trade.
"""

from types import SimpleNamespace

import numpy as np
import pytest

from eavewell.files.site.generic_pumps import generic_pump
from eavewell.hydraulics.lift import flow_up_l_s
from eavewell.site.pipe import Pipe
from eavewell.storage.sump_days import OVERTOPPED
from eavewell.storage.within_day import SumpLift, run_lift

GAL_PER_FT3 = 1728 / 231
GPM_PER_IN_H = 5000 / 12 * GAL_PER_FT3 / 60
GAL = 3.785411784
L_S = GAL / 60


def test_a_roof_makes_52_gpm_an_inch_and_hour():
    assert pytest.approx(52, abs=0.1) == GPM_PER_IN_H


def test_35_gpm_keeps_up_to_two_thirds_of_an_inch_an_hour():
    assert pytest.approx(0.67, abs=0.005) == 35 / GPM_PER_IN_H


@pytest.mark.parametrize(("in_h", "minutes"), [(1.0, 5.9), (4.0, 0.6)])
def test_what_100_gallons_buy(in_h, minutes):
    """From the start level to overtopping with the pump running at 35 gpm."""
    inflow = in_h * GPM_PER_IN_H
    assert 100 / (inflow - 35) == pytest.approx(minutes, rel=0.1)
    # An hour of that rain within the day, the pump from the first gallon on.
    lift = SumpLift("lift", "sump", "tank", GAL, 101 * GAL, 0.0, 35 * L_S, 35 * L_S)
    hours = np.zeros((1, 24), dtype=np.float32)
    hours[0, 9] = 1.0
    within = SimpleNamespace(rows=np.array([0]), steps_mm=hours)
    out = run_lift(lift, np.array([60 * inflow * GAL]), within=within)
    assert out[OVERTOPPED][0] / GAL == pytest.approx((inflow - 35) * (60 - 1 / inflow) - 100)


def test_the_generic_pump_gives_35_gpm_at_10_ft_in_all():
    short = Pipe(102.3, 0.1)
    flow = flow_up_l_s(generic_pump("1/3 hp sump"), short, static_m=10 * 0.3048)
    assert flow / L_S == pytest.approx(35, rel=0.01)
