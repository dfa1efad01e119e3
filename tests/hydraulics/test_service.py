"""Pumped lines: peak flow, budget by arithmetic, the net beside it, pump and tank at the levels."""

from dataclasses import replace
from itertools import pairwise
from time import perf_counter

import pytest

from eavewell.files.site.generic_pumps import generic_pump
from eavewell.hydraulics.friction import pipe_loss_m
from eavewell.hydraulics.line_network import line_network
from eavewell.hydraulics.network import solve
from eavewell.hydraulics.pressure_budget import budget, worst_budget
from eavewell.hydraulics.service import serve
from eavewell.hydraulics.service_peak import peak_of
from eavewell.hydraulics.service_pump import flow_out_l_s, head_out_m, held_at
from eavewell.site.line import InLine, Line, PressureTank
from eavewell.site.outlet import Emitter, Lateral, Outlet
from eavewell.site.pipe import Pipe
from eavewell.site.place import Place
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import UprightCylinder
from eavewell.units import read

PSI = read("1 psi", "pressure")
GPM = read("1 gal/min", "flow")
TANK = Tank("tank", shape=UprightCylinder(3.0, 2.5), base_m=0.0, outlet_m=0.2, overflow_m=2.3)
NEAR = Outlet("near", "kitchen sink", level_m=1.0, at_m=4.0)
FAR = Outlet("far", "shower", level_m=3.0, branch=Pipe(15.8, 5.0))
FILTER = InLine("filter", "filter", 0.6, 1.0, 5.0)
LINE = Line(
    "house",
    "tank",
    Pipe(20.9, 10.0, fittings=(("90 elbow", 4),)),
    pump=generic_pump("3/4 hp jet"),
    pump_m=0.0,
    suction=Pipe(26.6, 3.0),
    cut_in_m=30 * PSI,
    cut_out_m=50 * PSI,
    pressure_tank=PressureTank(200.0, 28 * PSI),
    dry_run_m=0.5,
    in_line=(FILTER,),
    outlets=(NEAR, FAR),
)


def served(making, line=LINE, **fields):
    tanks = fields.pop("tanks", (TANK,))
    site = making.site(tanks=tanks, lines=(line,), place=Place(30.0, -98.0, 400.0))
    return serve(site, **fields)[0]


def test_the_budget_by_arithmetic():
    # shower 2.5 gpm and what is left of 0.25 L/s at the sink, 4 m along the main of 10 m
    own = 2.5 * GPM
    found = budget(LINE, FAR, source_m=21.0, peak_l_s=0.25)
    assert found.flow_l_s == 0.25
    main = 0.4 * pipe_loss_m(0.25, LINE.main) + 0.6 * pipe_loss_m(
        own + max(0.25 - own - 1.75 * GPM, 0.0), LINE.main
    )
    branch = pipe_loss_m(own, FAR.branch)
    square = (0.25 / 0.6) ** 2
    assert found.clean_m == pytest.approx(21.0 - 3.0 - 1.0 * square - main - branch)
    assert found.dirty_m == pytest.approx(21.0 - 3.0 - 5.0 * square - main - branch)


def test_equal_outlets_on_one_branch_share_it(making):
    """Four showers on one branch: all of the peak comes through it, and no more than they draw."""
    own = 2.5 * GPM
    four = replace(FAR, count=4)
    line = replace(LINE, outlets=(NEAR, four))
    for peak, drawn in ((0.1, own), (0.25, 0.25), (0.9, 4 * own)):
        branch = budget(line, four, source_m=21.0, peak_l_s=peak).lines[-1]
        assert branch.flow_l_s == pytest.approx(drawn)
        assert branch.clean_m == pytest.approx(-pipe_loss_m(drawn, FAR.branch))
    run = served(making, line)
    (speed,) = [one for one in run.speeds if one.what == "branch to far"]
    assert speed.flow_l_s == pytest.approx(min(run.peak.flow_l_s, 4 * own))


def test_the_worst_outlet_has_least_to_spare():
    worst = worst_budget(LINE, source_m=21.0, peak_l_s=0.3)
    each = [budget(LINE, one, source_m=21.0, peak_l_s=0.3).spare_m for one in LINE.outlets]
    assert worst.spare_m == min(each)
    assert worst_budget(replace(LINE, outlets=()), source_m=21.0, peak_l_s=0.3) is None


def test_the_budget_agrees_with_the_net():
    """An outlet whose orifice is set to pass its need at the head that the budget leaves."""
    line = replace(LINE, outlets=(FAR,))
    left = budget(line, FAR, source_m=21.0, peak_l_s=0.0)
    same = replace(FAR, needs_m=left.dirty_m)
    still = replace(line, pump=None, suction=None, outlets=(same,))
    flow = solve(line_network(still, 21.0, running={"far"}, dirty=True)).outlet_l_s["far"]
    assert flow == pytest.approx(2.5 * GPM, rel=1e-6)


def test_peak_flow_by_chance_a_hose_beside_and_never_below_one_outlet():
    hose = Outlet("hose", "hose bibb", level_m=0.5)
    alone, with_hose = peak_of(LINE), peak_of(replace(LINE, outlets=(NEAR, FAR, hose)))
    # a sink of 2.2 gpm and a shower of 2.0 gpm, both at once in more than 1 of 100 busy moments:
    # 0.02 x 0.045 over 1 - 0.98 x 0.955 = 0.014
    assert alone.flow_l_s == pytest.approx(4.2 * GPM, rel=1e-3)
    assert with_hose.flow_l_s == pytest.approx(9.2 * GPM, rel=1e-3)
    assert with_hose.steady == "hose"
    assert peak_of(replace(LINE, outlets=(FAR,))).flow_l_s == pytest.approx(2.5 * GPM)


def test_the_pump_at_its_levels(making):
    run = served(making)
    # low water stands 0.5 m over the floor, where the cut-off stops it
    assert run.levels.low_m == pytest.approx(0.5)
    assert run.pump.reach_m == pytest.approx(LINE.pump.shut_off_m + 0.5)
    for flow, head in ((run.pump.asked_l_s, 30 * PSI), (run.pump.off_l_s, 50 * PSI)):
        assert head_out_m(LINE, flow, water_m=0.5) == pytest.approx(head, rel=1e-6)
    assert flow_out_l_s(LINE, 500.0, water_m=0.5) == 0.0
    assert flow_out_l_s(LINE, 0.0, water_m=0.5) == LINE.pump.curve[-1][0]


@pytest.mark.parametrize("psi", [20.0, 30.0, 45.0, 60.0, 90.0])
def test_a_control_holds_its_head_and_never_more(psi):
    held = held_at(LINE, psi * PSI, water_m=0.5)
    for flow in (0.0, 0.2, 0.5, 0.9):
        full = head_out_m(LINE, flow, water_m=0.5)
        expected = min(full, psi * PSI - (pipe_loss_m(flow, LINE.suction) if flow else 0.0))
        assert head_out_m(held, flow, water_m=0.5) == pytest.approx(expected, abs=0.01)


def test_a_control_that_holds_little_gives_no_more_than_the_pump_alone(making):
    """Held below the last point of its curve, a pump does not give whatever is asked of it."""
    hoses = tuple(Outlet(f"hose {n}", "hose bibb", level_m=0.5, needs_l_s=1.0) for n in range(3))
    wide = replace(LINE, main=Pipe(52.5, 5.0), suction=Pipe(52.5, 1.0), in_line=(), outlets=hoses)
    alone = served(making, replace(wide, control="on demand")).largest_flow_l_s
    flows = [
        served(making, replace(wide, control="variable speed", cut_out_m=psi * PSI))
        for psi in (2.0, 5.0, 15.0, 19.5, 20.0, 20.2, 25.0, 30.0, 50.0)
    ]
    largest = [run.largest_flow_l_s for run in flows]
    assert all(low <= high * (1.0 + 1e-6) for low, high in pairwise(largest))
    assert largest[-1] <= alone * (1.0 + 1e-6)


def test_each_outlet_at_least_and_at_most(making):
    run = served(making)
    for one in run.outlets:
        assert one.least_m < one.most_m < 50 * PSI - one.outlet.level_m
        k = one.needs.flow_l_s / one.needs.head_m**0.5
        assert one.least_l_s == pytest.approx(k * one.least_m**0.5, rel=1e-4)
    assert run.largest_flow_l_s > max(one.most_l_s for one in run.outlets)


@pytest.mark.parametrize("control", ["switch", "on demand", "variable speed"])
def test_every_control_is_worked_out(making, control):
    run = served(making, replace(LINE, control=control))
    assert run.budget.dirty_m < run.budget.clean_m
    assert (run.tank is not None) == (control == "switch")
    assert (run.pump.off_l_s is not None) == (control == "switch")
    assert run.largest_flow_l_s > 0.0


def test_the_smallest_pump_does_and_the_next_smaller_does_not(making):
    run = served(making, replace(LINE, outlets=(NEAR, FAR, replace(FAR, name="more", count=3))))
    assert run.pump.smallest == "1/2 hp jet"
    # its shut-off head of 130 ft and the low water over the 50 psi of 115 ft; 105 ft is too little
    smaller = replace(LINE, pump=generic_pump("1/3 hp jet"))
    assert head_out_m(smaller, 0.0, water_m=0.5) < 50 * PSI


def test_energy_for_a_volume_and_a_day(making):
    run = served(making, l_day={"house": 300.0})
    # 1,300 W for as long as the volume takes at the mean flow
    assert run.kwh_m3 == pytest.approx(1.3 * 1000.0 / run.pump.mean_l_s / 3600.0)
    assert run.kwh_day == pytest.approx(run.kwh_m3 * 0.3)
    assert served(making).kwh_day is None


def test_water_of_other_lines_is_not_pumped_here(making):
    row = Lateral("row", 10, Emitter("drip", 4.0, 10.0), 0.3, 13.0, waters="garden")
    by_gravity = Line("yard", "tank", Pipe(26.6, 5.0), laterals=(row,))
    uses = (making.use(), making.use(name="garden", end_use="outdoor"))
    site = making.site(tanks=(TANK,), lines=(LINE, by_gravity), uses=uses)
    wants = {"house": 300.0, "garden": 50.0}
    assert serve(site, wants)[0].l_day == 300.0
    tap = replace(by_gravity, outlets=(NEAR,))
    assert serve(replace(site, lines=(LINE, tap)), wants)[0].l_day is None


def test_what_is_unknown_is_left_out_and_named(making):
    bare = replace(LINE, pump_m=None, cut_in_m=None)
    run = served(making, bare)
    assert (run.pump, run.budget, run.tank, run.suction) == (None, None, None, None)
    assert {"level of the pump", "cut-in and cut-out"} <= set(run.unknown)
    nowhere = served(making, tanks=(replace(TANK, base_m=None),))
    assert nowhere.levels is None
    assert nowhere.peak.flow_l_s > 0.0


def test_a_house_of_twenty_outlets_takes_no_time(making):
    many = tuple(replace(FAR, name=f"shower {row}", at_m=0.5 * row + 0.1) for row in range(20))
    line = replace(LINE, outlets=many)
    served(making, line)
    begin = perf_counter()
    assert len(served(making, line).outlets) == 20
    assert perf_counter() - begin < 1.0
