"""What the fittings of a tank pass, against arithmetic."""

import math
from dataclasses import replace

import numpy as np
import pytest

from eavewell.faults import OutOfRange
from eavewell.hydraulics.drain_down import drain_down_h
from eavewell.hydraulics.friction import pipe_loss_m
from eavewell.hydraulics.linked_tanks import must_pass_l_s, unequal_floors
from eavewell.hydraulics.openings import side_hole_l_s
from eavewell.hydraulics.overflow import (
    freeboards_m,
    link_l_s,
    lower_overflow,
    overflow_bore,
    overflow_count,
    overflow_l_s,
    pipe_flow_l_s,
    with_overflow,
)
from eavewell.hydraulics.storm_inflow import storm_inflow_l_s
from eavewell.hydraulics.tank_air import vent_bore_mm, vent_l_s
from eavewell.hydraulics.tank_connections import connect
from eavewell.site.hauling import Hauling
from eavewell.site.lift import Lift
from eavewell.site.line import Line
from eavewell.site.outlet import Outlet
from eavewell.site.pipe import Pipe
from eavewell.site.pump import Pump
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import Box, ConeBottom, HorizontalCylinder, UprightCylinder

PUMP = Pump("lift", "sump", ((0.0, 8.0), (2.0, 1.0)))


@pytest.fixture
def made(made_up_tanks):
    return made_up_tanks


def test_what_comes_in_a_storm(making, made):
    # 40 m2 at 90 mm/h: 40 x 90 / 3600 = 1 L/s; a pump of at most 2; make-up 0.3
    low = replace(made.TANK, name="low", is_sump=True)
    tanks = (made.fitted(made.TANK, make_up_l_s=0.3), low)
    lifts = (Lift("up", "low", "tank", pump=PUMP),)
    roofs = (making.roof(40.0), making.roof(80.0, to="low", name="barn"))
    site = making.site(tanks=tanks, lifts=lifts, roofs=roofs)
    assert storm_inflow_l_s(site, made.Storms()) == pytest.approx({"tank": 3.3, "low": 2.0})
    assert storm_inflow_l_s(site, made.Storms(None)) == {"tank": None, "low": None}


def test_an_upper_tank_spills_into_a_lower_one(making, made):
    upper = replace(made.TANK, name="upper", overflow_to="tank")
    roofs = (making.roof(40.0), making.roof(20.0, to="upper", name="hut"))
    site = making.site(tanks=(made.TANK, upper), roofs=roofs)
    assert storm_inflow_l_s(site, made.Storms()) == pytest.approx({"tank": 1.5, "upper": 0.5})


def test_water_lifted_in_a_circle_counts_once(making, made):
    header = replace(made.TANK, name="header", overflow_to="tank")
    lifts = (Lift("up", "tank", "header", pump=PUMP),)
    site = making.site(tanks=(made.TANK, header), lifts=lifts, roofs=(making.roof(40.0),))
    assert storm_inflow_l_s(site, made.Storms()) == pytest.approx({"tank": 1.0, "header": 2.0})
    daily = replace(site, lifts=(Lift("up", "tank", "header", 500.0),))
    assert storm_inflow_l_s(daily, made.Storms()) == {"tank": pytest.approx(1.0), "header": None}


def test_two_tanks_that_spill_into_each_other_end(making, made):
    one, two = (
        replace(made.TANK, overflow_to="two"),
        replace(made.TANK, name="two", overflow_to="tank"),
    )
    site = making.site(tanks=(one, two), roofs=(making.roof(40.0),))
    assert storm_inflow_l_s(site, made.Storms()) == pytest.approx({"tank": 1.0, "two": 1.0})


def test_make_up_of_unknown_flow_is_unknown(making, made):
    site = making.site(tanks=(made.TANK,), lifts=(Lift("make-up", "mains", "tank", 500.0),))
    assert storm_inflow_l_s(site, made.Storms()) == {"tank": None}
    stated = replace(site, tanks=(made.fitted(made.TANK, make_up_l_s=0.5),), roofs=())
    assert storm_inflow_l_s(stated, made.Storms(None)) == {"tank": pytest.approx(0.5)}


def test_the_lesser_of_opening_and_pipe(made):
    # the pipe has 2.0 - 0.3 = 1.7 m of head: the opening rules, half clogged
    assert overflow_l_s(made.TANK) == pytest.approx(0.5 * side_hole_l_s(100.0, 0.3))
    # 300 m of pipe, the water 0.05 m above its end: the pipe rules
    long = made.spilling(made.TANK, pipe=Pipe(100.0, 300.0), end_m=1.95)
    flow = overflow_l_s(long)
    ends = Pipe(100.0, 300.0, fittings=(("entrance", 1), ("exit", 1)))
    assert pipe_loss_m(flow, ends) == pytest.approx(0.05, rel=1e-6)
    assert flow < 0.5 * side_hole_l_s(100.0, 0.3)
    # an end above the rim carries nothing; the fall serves where no level is known
    assert overflow_l_s(made.spilling(made.TANK, end_m=2.5)) == 0.0
    falling = made.spilling(made.TANK, pipe=Pipe(100.0, 300.0), end_m=None, fall=0.0)
    assert pipe_loss_m(overflow_l_s(falling), ends) == pytest.approx(0.3, rel=1e-6)


def test_an_unknown_overflow_is_unknown_and_one_at_the_rim_carries_nothing(made):
    assert overflow_l_s(made.fitted(made.TANK, overflow=None)) is None
    assert overflow_l_s(replace(made.TANK, overflow_m=None)) is None
    assert overflow_l_s(replace(made.TANK, shape=None)) is None
    assert overflow_l_s(made.spilling(made.TANK, pipe=None)) is None
    assert overflow_l_s(replace(made.TANK, overflow_m=2.0)) == 0.0


def test_a_spillway_in_the_wall(made):
    # half of 1.7 x 0.5 x 0.3^1.5 m3/s
    open_wall = made.spilling(made.TANK, pipe=None, weir_m=0.5)
    assert overflow_l_s(open_wall) == pytest.approx(0.5 * 1700 * 0.5 * 0.3**1.5)


def test_more_freeboard_more_flow(made):
    flows = [
        overflow_l_s(replace(made.TANK, overflow_m=height)) for height in np.linspace(2.2, 0.2, 30)
    ]
    assert flows == sorted(flows)


def test_a_row_spills_what_the_link_brings(made):
    one = overflow_l_s(made.TANK)
    narrow = made.fitted(made.ROW, link=replace(made.ROW.fittings.link, pipe=Pipe(25.0, 0.5)))
    assert overflow_l_s(made.ROW) == pytest.approx(2 * one)
    assert overflow_l_s(narrow) == pytest.approx(one + link_l_s(narrow))
    assert link_l_s(narrow) < one
    assert overflow_l_s(made.fitted(made.ROW, link=None)) == pytest.approx(2 * one)


def test_the_link_at_a_level_difference_of_the_freeboard(made):
    flow = link_l_s(made.ROW)
    ends = Pipe(100.0, 0.5, fittings=(("entrance", 1), ("exit", 1)))
    assert pipe_loss_m(flow, ends) == pytest.approx(0.3, rel=1e-6)
    # K 1.5 alone: A sqrt(2 g h / 1.5), which friction can only lessen
    most = 1000 * math.pi / 4 * 0.1**2 * math.sqrt(2 * 9.80665 * 0.3 / 1.5)
    assert 0.9 * most < flow < most
    assert pipe_flow_l_s(Pipe(0.0, 1.0), 1.0) == 0.0
    assert must_pass_l_s(made.ROW, 6.0) == 3.0
    assert must_pass_l_s(replace(made.ROW, count=4), 6.0) == 4.5


def test_floors_that_differ(made):
    # the second stands 0.2 m higher: 0.2 m of a 2 m round tank is lost, 628.3 L
    uneven = made.fitted(made.ROW, bases_m=(0.0, 0.2))
    found = unequal_floors(uneven)
    assert found.first == 1
    assert found.lost_l == pytest.approx(1000 * math.pi * 0.2)
    assert found.shims_m == pytest.approx((0.2, 0.0))
    assert freeboards_m(uneven) == pytest.approx((0.3, 0.1))
    assert unequal_floors(made.ROW) is None
    # 0.4 m higher it never spills
    assert freeboards_m(made.fitted(made.ROW, bases_m=(0.4, 0.0)))[0] < 0
    assert overflow_l_s(made.fitted(made.ROW, bases_m=(0.4, 0.0))) == pytest.approx(
        overflow_l_s(made.TANK)
    )


def test_the_next_size_number_and_height_carry_it(made):
    flow = 1.3 * overflow_l_s(made.TANK)
    name, bore = overflow_bore(made.TANK, flow, family="metric pipe")
    assert name == "125 mm"
    assert overflow_l_s(with_overflow(made.TANK, bore_mm=bore)) >= flow
    assert overflow_count(made.TANK, flow) == 2
    name, lowered = lower_overflow(made.TANK, 6 * flow, family="metric pipe")
    assert overflow_l_s(lowered) >= 6 * flow
    bore_m = lowered.fittings.overflow.pipe.bore_mm / 1000
    assert lowered.shape.height_m - lowered.overflow_m >= bore_m - 1e-9
    assert overflow_bore(made.TANK, 6 * flow, family="metric pipe") is None
    assert overflow_count(made.TANK, 1e4) is None
    assert lower_overflow(made.TANK, 1e4, family="metric pipe") is None


def test_air_through_a_vent():
    # 250 Pa: sqrt(2 x 250 / 1.2) = 20.41 m/s, x 0.6 x 7.854e-3 m2 = 96.2 L/s; half with a screen
    assert vent_l_s(100.0, screened=False) == pytest.approx(96.19, abs=0.05)
    assert vent_l_s(100.0, screened=True) == pytest.approx(48.1, abs=0.05)
    assert vent_l_s(vent_bore_mm(20.0, screened=True), screened=True) == pytest.approx(20.0)
    assert vent_l_s(0.0, screened=False) == 0.0
    with pytest.raises(OutOfRange):
        vent_l_s(-1.0, screened=False)


def test_a_line_far_downhill_draws_more_air_than_a_hole_in_the_tank(making, made_up_tanks):
    """2 in over 100 m down 30 m: by friction alone more than by the tank's own depth."""
    tank, line = made_up_tanks.TANK, Line("down", "tank", Pipe(52.5, 100.0))
    drawn = []
    for level_m in (None, 0.0, -30.0):
        one = replace(line, outlets=(Outlet("tap", "hose bibb", level_m=level_m),))
        site = making.site(tanks=(tank,), lines=(one,))
        drawn.append(connect(site, made_up_tanks.Storms(90.0))[0].draw_l_s)
    assert drawn[0] == drawn[1] < drawn[2]
    ends = Pipe(52.5, 100.0, fittings=(("entrance", 1), ("exit", 1)))
    full_m = tank.base_m + tank.overflow_m
    assert pipe_loss_m(drawn[2], ends) == pytest.approx(full_m + 30.0, rel=1e-6)


def test_an_upright_tank_drains_as_the_closed_form_says():
    # t = 2 A sqrt(h) / (0.6 a sqrt(2 g))
    area, hole = math.pi / 4 * 2.0**2, math.pi / 4 * 0.04**2
    closed = 2 * area * math.sqrt(1.7) / (0.6 * hole * math.sqrt(2 * 9.80665)) / 3600
    assert drain_down_h(UprightCylinder(2.0, 2.0), 1.7, bore_mm=40.0) == pytest.approx(closed)


def test_a_tank_on_its_side_drains_as_its_integral_says():
    # t = 2 L 2 / (0.6 a sqrt 2g) x integral of sqrt(D - h) dh, full: (2/3) D^1.5
    diameter, length, hole = 1.5, 3.0, math.pi / 4 * 0.04**2
    closed = 2 * length * (2 / 3) * diameter**1.5 / (0.6 * hole * math.sqrt(2 * 9.80665)) / 3600
    shape = HorizontalCylinder(diameter, length)
    assert drain_down_h(shape, diameter, bore_mm=40.0) == pytest.approx(closed, rel=1e-3)


@pytest.mark.parametrize(
    "shape", [UprightCylinder(2.0, 2.0), Box(2.0, 1.0, 2.0), ConeBottom(2.0, 0.5, 2.0)]
)
def test_fuller_drains_longer_and_wider_sooner(shape):
    hours = [drain_down_h(shape, level, bore_mm=40.0) for level in np.linspace(0.0, 2.0, 15)]
    assert hours[0] == 0
    assert hours == sorted(hours)
    bores = [drain_down_h(shape, 2.0, bore_mm=bore) for bore in (0.0, 20.0, 40.0, 80.0)]
    assert bores[0] == math.inf
    assert bores[1] == pytest.approx(4 * bores[2])
    assert bores[2] == pytest.approx(4 * bores[3])


def test_a_tank_with_all_its_numbers(making, made):
    # 40 m2 at 90 mm/h and a truck of 250 gal/min = 15.77 L/s
    hauling = (Hauling("tank", 8000.0, 3),)
    site = making.site(tanks=(made.TANK,), roofs=(making.roof(40.0),), hauling=hauling)
    (one,) = connect(site, made.Storms())
    assert one.peak_l_s == pytest.approx(1.0 + 15.7725, abs=1e-3)
    assert one.freeboard_m == pytest.approx(0.3)
    assert one.dead_share == pytest.approx(0.1 / 1.7)
    assert one.usable_l == pytest.approx(1000 * math.pi * 1.6)
    assert one.link_l_s is None
    assert one.link_must_l_s is None
    assert one.drain_h is not None
    assert one.described
    # the truck asks for more air than the open drain: 0.6 x 1.257e-3 x sqrt(2g 1.7) = 4.35 L/s
    assert one.draw_l_s == pytest.approx(4.35, abs=0.01)
    assert one.air_l_s == one.peak_l_s


def test_a_bare_tank_and_a_sump(making, made):
    site = making.site(tanks=(making.tank(), replace(made.TANK, name="sump", is_sump=True)))
    (one,) = connect(site, made.Storms(None))
    assert not one.described
    assert (one.peak_l_s, one.air_l_s, one.overflow_l_s, one.drain_h) == (None,) * 4


@pytest.mark.parametrize("field", ["shape", "base_m", "outlet_m", "overflow_m"])
def test_anything_unknown_is_no_fault(making, field, made):
    tank: Tank = replace(made.ROW, stated_l=5000.0, **{field: None})
    (one,) = connect(making.site(tanks=(tank,)), made.Storms())
    assert isinstance(one.unknown, tuple)
