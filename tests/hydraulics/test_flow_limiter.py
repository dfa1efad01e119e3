"""What a flow limiter lets pass, and on which side of the pressure tank it holds."""

from dataclasses import replace

import pytest

from eavewell.hydraulics.line_network import WaterLevels
from eavewell.hydraulics.service_outlets import largest_flow_l_s, limited_l_s
from eavewell.site.line import InLine, Line, PressureTank
from eavewell.site.outlet import Outlet
from eavewell.site.pipe import Pipe

LIMITER = InLine("limiter", "flow limiter", 0.5, 0.5, 0.5, most_l_s=0.1)
FILTER = InLine("filter", "filter", 0.5, 0.5, 0.5)
LAMP = InLine("lamp", "lamp", 0.5, 0.5, 0.5)
TAP = Outlet("tap", "kitchen sink", level_m=1.0)


def line(*things, after="", **fields):
    tank = PressureTank(300.0, after=after)
    return Line("house", "tank", Pipe(20.0, 10.0), in_line=things, pressure_tank=tank, **fields)


def test_it_holds_what_passes_on_its_side_of_the_pressure_tank():
    plain = line(FILTER, LIMITER, LAMP)
    assert limited_l_s(plain, 1.0, at=LAMP) == 0.1
    assert limited_l_s(plain, 1.0, at=FILTER) == 0.1
    assert limited_l_s(plain, 0.05, at=LAMP) == 0.05
    assert limited_l_s(plain, None, at=LAMP) == 0.1
    assert limited_l_s(line(FILTER, LAMP), None, at=LAMP) is None


def test_the_pressure_tank_gives_more_than_a_limiter_before_it_lets_in():
    split = line(LIMITER, FILTER, LAMP, after="filter")
    assert limited_l_s(split, 1.0, at=LAMP) == 1.0
    assert limited_l_s(split, 1.0, at=FILTER) == 0.1


def test_a_limiter_with_a_way_around_it_holds_nothing():
    around = replace(LIMITER, bypass=True)
    assert limited_l_s(line(FILTER, around, LAMP), 1.0, at=LAMP) == 1.0
    assert limited_l_s(line(FILTER, around, LAMP), None, at=LAMP) is None


def test_everything_open_is_held_by_the_limiter():
    gravity = Line("house", "tank", Pipe(20.0, 10.0), level_m=20.0, outlets=(TAP,))
    levels = WaterLevels(22.0, 21.5, 21.0)
    free = largest_flow_l_s(gravity, levels)
    assert free > 0.1
    held = replace(gravity, in_line=(LIMITER,))
    assert largest_flow_l_s(held, levels) == pytest.approx(0.1)
    wide = replace(LIMITER, most_l_s=50.0)
    assert largest_flow_l_s(replace(gravity, in_line=(wide,)), levels) < 50.0
