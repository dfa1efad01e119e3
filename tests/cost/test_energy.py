"""Electric energy of a day, what a battery feeds, and the largest start. Sites invented."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from eavewell.cost.energy import energy_of
from eavewell.hydraulics.service import PumpedLine
from eavewell.site.barrier import Lamp
from eavewell.site.lift import Lift
from eavewell.site.line import InLine, Line
from eavewell.site.pipe import Pipe
from eavewell.site.power import Power
from eavewell.site.pump import Pump

GAL = 3.785411784
PIPE = Pipe(26.64, 3.0)


def lamp(watts):
    works = Lamp(input_w=watts)
    return InLine("lamp", "lamp", 0.5, 1.0, 1.0, works=works)


def line(*things, pump=None, name="house"):
    return Line(name, "tank", PIPE, pump=pump, in_line=things)


def pump(running_w=900.0, start_w=2700.0):
    return Pump("pump", "jet", ((0.0, 40.0), (1.0, 0.0)), running_w, start_w)


def served(one, kwh_day):
    nones = dict.fromkeys(
        ("levels", "peak", "pump", "tank", "budget", "largest_flow_l_s", "suction", "l_day")
    )
    empty = dict.fromkeys(("outlets", "laterals", "speeds", "unknown"), ())
    return PumpedLine(line=one, kwh_m3=None, kwh_day=kwh_day, **nones, **empty)


def test_a_house_on_a_pump_and_a_lamp(making):
    """84 gal a day at 1.6 kWh for 1,000 gal: 0.13 kWh. A lamp of 40 W, day and night: 0.96 kWh."""
    house = line(lamp(40.0), pump=pump())
    found = energy_of(making.site(lines=(house,)), served=(served(house, 84 * 1.6 / 1000),))
    of_pump, of_lamp = found.consumers
    assert of_pump.kwh_day == pytest.approx(0.1344)
    assert of_lamp.kwh_day == pytest.approx(0.96)
    assert of_lamp.always
    assert not of_pump.always
    assert found.kwh_day == pytest.approx(1.0944)
    assert found.unknown == ()


def test_days_on_a_battery(making):
    """5 kWh for a lamp of 40 W and 4 W of controls: 1.056 kWh a day, 4.73 days."""
    power = Power(battery_kwh=5.0, controls_w=4.0)
    found = energy_of(making.site(lines=(line(lamp(40.0)),), power=power))
    assert found.battery_days == pytest.approx(5.0 / 1.056)


def test_a_battery_says_nothing_where_a_power_is_unknown(making):
    things = (lamp(None), InLine("second", "lamp", 0.5, 1.0, 1.0))
    site = making.site(lines=(line(*things),), power=Power(battery_kwh=5.0, controls_w=4.0))
    found = energy_of(site)
    assert found.battery_days is None
    assert found.largest_start_w is None
    assert found.unknown == ("power of lamp 'lamp'", "power of lamp 'second'")
    assert found.kwh_day == pytest.approx(0.096)


def test_pipe_heating_of_a_season(making):
    """60 W on 90 days of 365.25."""
    power = Power(heat_trace_w=60.0, heat_trace_days=90.0)
    found = energy_of(making.site(power=power))
    assert found.kwh_day == pytest.approx(60 * 24 / 1000 * 90 / 365.25)


def test_the_largest_start_with_everything_else_running(making):
    """Starts of 2,700 and 1,500 W; running 900, 500 and 40 W: 2,700 + 540 against 1,500 + 940."""
    lines = (
        line(lamp(40.0), pump=pump()),
        line(pump=pump(500.0, 1500.0), name="yard"),
    )
    runs = tuple(served(one, 0.1) for one in lines)
    found = energy_of(making.site(lines=lines), served=runs)
    assert found.largest_start_w == pytest.approx(2700 + 500 + 40)


def test_what_starts_as_it_runs(making):
    assert energy_of(making.site(lines=(line(lamp(40.0)),))).largest_start_w == 40.0
    assert energy_of(making.site()).largest_start_w is None


def test_a_lift_by_what_it_captured(making):
    """36,500 L in 365 days at 2 L/s and 500 W: 500 / 3600 / 2 kWh a m3, 0.1 m3 a day."""
    lift = Lift("sump lift", "sump", "tank", pump=pump(500.0, 1500.0))
    duty = SimpleNamespace(lift=lift, level=lambda name: SimpleNamespace(flow_l_s=2.0))
    captured = SimpleNamespace(
        lift=SimpleNamespace(lift="sump lift"), captured_l=np.full(365, 100.0)
    )
    lifted = SimpleNamespace(lifts=(duty,))
    (found,) = energy_of(making.site(), lifted=lifted, captured=(captured,)).consumers
    assert found.kwh_day == pytest.approx(500 / 3600 / 2 * 0.1)
    (unknown,) = energy_of(making.site(), lifted=lifted).consumers
    assert unknown.kwh_day is None


def test_nothing_takes_nothing(making):
    found = energy_of(replace(making.site(), power=Power(battery_kwh=5.0)))
    assert (found.consumers, found.kwh_day, found.battery_days) == ((), 0.0, None)
