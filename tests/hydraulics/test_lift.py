"""The duty of a lift out of a sump; the site is invented, the levels are added up by hand."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from eavewell.files.site.generic_pumps import generic_pump
from eavewell.hydraulics.friction import pipe_loss_m
from eavewell.hydraulics.lift import flow_up_l_s
from eavewell.hydraulics.pump_curve import head_at_m
from eavewell.hydraulics.spillway import spillway_bore_mm, spillway_l_s, with_spillway
from eavewell.hydraulics.sump_sizes import TIMES, next_pump, pump_that_reaches, sump_sizes
from eavewell.site.pipe import Pipe
from eavewell.site.tank_fittings import Overflow, TankFittings


def test_levels_volumes_and_heads(making, made_up_lift):
    """Floor at -1.6, stop 0.2 and start 0.6 above it, lets go at 2.4: lifts of 3.8 and 3.4 m."""
    found = made_up_lift.duty(made_up_lift.barn(making))
    assert [level.static_m for level in found.at] == pytest.approx([3.8, 3.4, 2.9])
    assert [level.held_l for level in found.at] == pytest.approx([200.0, 600.0, 1100.0])
    for level in found.at:
        on_curve = head_at_m(found.lift.pump, level.flow_l_s)
        assert level.head_m == pytest.approx(on_curve, abs=1e-6)
        assert level.head_m == pytest.approx(
            level.static_m + pipe_loss_m(level.flow_l_s, made_up_lift.RISER), abs=1e-9
        )
    flows = [level.flow_l_s for level in found.at]
    assert flows == sorted(flows)
    assert found.unknown == ()


def test_minutes_to_overtop(making, made_up_lift):
    """40 mm/h on 464.5 m2 is 5.161 L/s: 500 L last 1.61, 900 L 2.91 minutes."""
    found = made_up_lift.duty(made_up_lift.barn(making))
    assert found.inflow_l_s == pytest.approx(40 * 5000 * 0.3048**2 / 3600)
    assert found.level("start").overtop_min == pytest.approx(500 / 5.1613 / 60, rel=1e-4)
    assert found.level("stop").overtop_min == pytest.approx(900 / 5.1613 / 60, rel=1e-4)
    assert found.level("spillway").overtop_min == 0.0


def test_floats_less_what_the_riser_gives_back(making, made_up_lift):
    """A 52.5 mm riser of 10 m holds 21.65 L; 400 L lie between the floats."""
    dry = made_up_lift.lift(weep_hole=True)
    whole = made_up_lift.duty(made_up_lift.barn(making))
    less = made_up_lift.duty(made_up_lift.barn(making, up=dry))
    riser_l = math.pi / 4 * 0.525**2 * 100
    assert whole.floats.between_l == pytest.approx(400.0)
    assert less.floats.between_l == pytest.approx(400.0 - riser_l)
    flow = whole.level("start").flow_l_s
    assert whole.floats.starts_h == pytest.approx(3600 * flow / 1600)
    assert less.numbers.back_l == pytest.approx(riser_l)


def test_an_unknown_check_valve_may_fail(making, made_up_lift):
    up = made_up_lift.lift(check_valve=None)
    assert made_up_lift.duty(made_up_lift.barn(making, up=up)).back_l > 0.0


def test_let_go_at_the_rim_where_it_is_not_stated(making, made_up_lift):
    up = made_up_lift.lift(let_go_m=None)
    assert made_up_lift.duty(made_up_lift.barn(making, up=up)).let_go_m == pytest.approx(2.5)


def test_a_full_tank_that_spills_into_the_sump_brings_its_roof(making, made_up_lift):
    barn = made_up_lift.barn(making)
    before = made_up_lift.duty(barn)
    tanks = (making.tank(name="barrel", overflow_to="butt"), making.tank(name="butt"))
    led = (tanks[0], replace(tanks[1], overflow_to="pit"))
    shed = making.roof(100.0, "barrel", "shed")
    for more, brings_m2 in ((tanks, 0.0), (led, 100.0)):
        site = replace(barn, roofs=(*barn.roofs, shed), tanks=(*barn.tanks, *more))
        duty = made_up_lift.duty(site)
        assert duty.roof_m2 == pytest.approx(before.roof_m2 + brings_m2)
        assert duty.inflow_l_s == pytest.approx(before.inflow_l_s + 40.0 * brings_m2 / 3600.0)


def test_under_water_it_lifts_to_the_water(making, made_up_lift):
    """The full tank stands at 2.3 m: a riser that ends at its floor lifts as high as that."""
    heads = [
        made_up_lift.duty(made_up_lift.barn(making, up=made_up_lift.lift(let_go_m=let_go_m)))
        for let_go_m in (-0.5, 1.0, 2.3, 2.4)
    ]
    flows = [duty.level("stop").flow_l_s for duty in heads]
    # the sump stops 1.4 m below the datum
    assert heads[0].level("stop").static_m == pytest.approx(2.3 + 1.4)
    assert flows[0] == flows[1] == flows[2] > flows[3]


def test_what_is_unknown_stays_unknown(making, made_up_lift):
    bare = made_up_lift.barn(
        making,
        pit=made_up_lift.sump(base_m=None, shape=None, overflow_m=None),
        up=made_up_lift.lift(pump=None, riser=None, stop_m=None, start_m=None),
    )
    found = made_up_lift.duty(bare, mm_h=None)
    assert len(found.unknown) == 6
    assert found.numbers is None
    assert found.floats is None
    assert not found.never_lifts
    assert made_up_lift.lifted(bare).numbers == ()


@pytest.mark.parametrize("static_m", np.linspace(-2.0, 12.0, 29))
@pytest.mark.parametrize("bore_mm", [26.0, 40.0, 52.5, 78.0])
def test_flow_over_the_whole_range(static_m, bore_mm):
    pump, riser = generic_pump("1/2 hp sump"), Pipe(bore_mm, 12.0, fittings=(("exit", 1),))
    flow = flow_up_l_s(pump, riser, static_m=static_m)
    assert 0.0 <= flow <= pump.curve[-1][0]
    assert (flow == 0.0) == (static_m >= pump.shut_off_m)
    assert flow_up_l_s(pump, riser, static_m=static_m + 0.1) <= flow
    assert flow_up_l_s(pump, replace(riser, bore_mm=bore_mm * 1.2), static_m=static_m) >= flow


def test_a_screened_spillway_carries_half_and_none_carries_nothing(made_up_lift):
    open_pit = made_up_lift.sump()
    spillway = replace(made_up_lift.SPILLWAY, screened=True)
    screened = made_up_lift.sump(fittings=TankFittings(overflow=spillway))
    assert spillway_l_s(screened) == pytest.approx(0.5 * spillway_l_s(open_pit))
    assert spillway_l_s(made_up_lift.sump(fittings=TankFittings())) is None
    assert spillway_l_s(made_up_lift.sump(overflow_m=None)) is None


def test_a_pipe_spillway_by_hand(made_up_lift):
    """0.6 A sqrt(2 g h): 150 mm under 0.4 - 0.075 m of head carries 26.8 L/s."""
    by_hand = 0.6 * math.pi / 4 * 0.15**2 * math.sqrt(2 * 9.80665 * 0.325) * 1000
    assert spillway_l_s(made_up_lift.sump()) == pytest.approx(by_hand, rel=0.03)


def test_a_long_pipe_passes_less_than_its_opening(made_up_lift):
    """100 mm, 60 m long, ending 0.3 m below where it spills: 0.7 m of head for its friction."""
    opening = Overflow(pipe=Pipe(100.0, 60.0))
    led = replace(opening, end_m=-0.8)
    carried = [
        spillway_l_s(made_up_lift.sump(fittings=TankFittings(overflow=one)))
        for one in (opening, led)
    ]
    ends = replace(opening.pipe, fittings=(("entrance", 1), ("exit", 1)))
    assert pipe_loss_m(carried[1], ends) == pytest.approx(0.7, rel=1e-6)
    assert carried[1] < 0.7 * carried[0]


def test_no_spillway_is_asked_for_that_stands_above_the_rim(made_up_lift):
    pit = made_up_lift.sump(overflow_m=1.38)
    for flow in (0.5, 2.0, 5.0, 20.0, 60.0):
        bore = spillway_bore_mm(pit, flow)
        assert bore is None or bore <= 120.0


def test_an_open_spillway_carries_more_when_wider(made_up_lift):
    carried = [
        spillway_l_s(made_up_lift.sump(fittings=TankFittings(overflow=Overflow(weir_m=width))))
        for width in (0.2, 0.4, 0.8)
    ]
    assert carried == sorted(carried)
    assert carried[0] > 0.0


@pytest.mark.parametrize("flow", [1.0, 10.0, 25.0, 60.0])
def test_the_smallest_spillway_that_carries_it(made_up_lift, flow):
    pit = made_up_lift.sump()
    bore = spillway_bore_mm(pit, flow)
    assert spillway_l_s(with_spillway(pit, bore)) >= flow
    assert spillway_bore_mm(pit, 1e6) is None


def test_the_next_pump(making, made_up_lift):
    found = made_up_lift.duty(made_up_lift.barn(making))
    assert next_pump(found, 0.5).name == "1/3 hp sump"
    assert next_pump(found, 2.2).name == "1/2 hp sump"
    assert next_pump(found, 50.0) is None
    high = made_up_lift.duty(made_up_lift.barn(making, up=made_up_lift.lift(let_go_m=20.0)))
    assert high.never_lifts
    assert pump_that_reaches(high).kind == "submersible"


def test_water_captured_by_sump_and_pump(making, made_up_lift):
    site = made_up_lift.barn(making)
    rng = np.random.default_rng(8)
    steps = np.where(rng.random((60, 288)) < 0.05, rng.exponential(2.0, (60, 288)), 0.0)
    steps[:, 3] += 0.1
    within = SimpleNamespace(rows=np.arange(0, 360, 6), steps_mm=steps.astype(np.float32))
    runoff = np.zeros(360)
    runoff[within.rows] = steps.sum(axis=1)
    water = making.series(runoff, np.zeros(360))
    sizes = sump_sizes(site, water, within=within, duty=made_up_lift.duty(site))
    assert len(sizes) == 2 * len(TIMES)
    half = [size for size in sizes if size.pump.name == "1/2 hp sump"]
    third = [size for size in sizes if size.pump.name == "1/3 hp sump"]
    shares = [size.captured_share for size in half]
    assert shares == sorted(shares)
    assert all(
        big.captured_share > small.captured_share for big, small in zip(half, third, strict=True)
    )
    assert half[1].sump_l == pytest.approx(1100.0)
