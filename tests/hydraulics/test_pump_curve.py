"""A pump on its curve, swept over its whole range."""

import numpy as np
import pytest

from eavewell.faults import OutOfRange
from eavewell.files.site.generic_pumps import generic_pump, generic_pumps
from eavewell.hydraulics.pump_curve import (
    at_speed,
    energy_kwh_m3,
    flow_at_l_s,
    head_at_m,
    water_power_w,
    wire_to_water,
)
from eavewell.site.pump import Pump

INVENTED = Pump("invented", "sump", ((0.0, 8.0), (1.0, 6.0), (2.0, 0.0)))


def test_straight_between_points():
    assert head_at_m(INVENTED, 0.5) == pytest.approx(7.0)
    assert flow_at_l_s(INVENTED, 3.0) == pytest.approx(1.5)
    assert flow_at_l_s(INVENTED, 8.0) == 0.0
    assert INVENTED.shut_off_m == 8.0


@pytest.mark.parametrize("name", generic_pumps())
def test_generic_curves_fall_and_flow_and_head_undo_each_other(name):
    pump = generic_pump(name)
    flows = np.linspace(0.0, pump.curve[-1][0], 50)
    heads = [head_at_m(pump, flow) for flow in flows]
    assert all(np.diff(heads) < 0.0)
    assert [flow_at_l_s(pump, head) for head in heads] == pytest.approx(list(flows), abs=1e-9)


@pytest.mark.parametrize("name", generic_pumps())
def test_no_generic_pump_gives_more_than_its_motor(name):
    pump = generic_pump(name)
    assert pump.motor_w < pump.input_w < pump.start_w
    for flow in np.linspace(0.0, pump.curve[-1][0], 50):
        assert water_power_w(flow, head_at_m(pump, flow)) < 0.7 * pump.motor_w


def test_refusals_are_sentences():
    with pytest.raises(OutOfRange, match="moves no water"):
        flow_at_l_s(INVENTED, 8.1)
    with pytest.raises(OutOfRange, match="does not tell"):
        head_at_m(INVENTED, 2.1)
    with pytest.raises(OutOfRange, match="does not tell"):
        head_at_m(INVENTED, -0.1)
    with pytest.raises(OutOfRange, match="head falls"):
        head_at_m(Pump("flat", "sump", ((0.0, 5.0), (1.0, 5.0))), 0.5)
    with pytest.raises(OutOfRange, match="half to twice"):
        at_speed(INVENTED, 3.0)
    with pytest.raises(OutOfRange, match="no energy"):
        energy_kwh_m3(0.0, 800.0)
    with pytest.raises(OutOfRange, match="takes more"):
        wire_to_water(1.0, 1.0, input_w=0.0)


def test_the_same_speed_changes_nothing():
    assert at_speed(INVENTED, 1.0).curve == INVENTED.curve
