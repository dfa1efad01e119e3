"""Checks on pumped lines: each fires, keeps silent, and its way out passes."""

from dataclasses import replace

import pytest

from eavewell.files.site.generic_pumps import generic_pump
from eavewell.findings.service import service_holds
from eavewell.hydraulics.service import serve
from eavewell.site.line import InLine, Line, PressureTank
from eavewell.site.outlet import Outlet
from eavewell.site.pipe import Pipe
from eavewell.site.place import Place
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import UprightCylinder
from eavewell.units import read

PSI = read("1 psi", "pressure")
GPM = read("1 gal/min", "flow")
GAL = read("1 gal", "volume")
INCH = 25.4
PLACE = Place(30.0, -98.0, 400.0)
TANK = Tank("tank", shape=UprightCylinder(3.0, 2.5), base_m=0.0, outlet_m=0.2, overflow_m=2.3)
SINK = Outlet("sink", "kitchen sink", level_m=1.5, at_m=5.0)
SHOWER = Outlet("shower", "shower", level_m=2.5, at_m=8.0, branch=Pipe(20.9, 3.0))
TOILET = Outlet("toilet", "toilet", level_m=1.0)
FILTER = InLine("filter", "filter", 10 * GPM, 1.5 * PSI, 8 * PSI)
HOUSE = Line(
    "house",
    "tank",
    Pipe(26.6, 12.0),
    pump=generic_pump("3/4 hp jet"),
    pump_m=0.0,
    suction=Pipe(35.1, 2.0),
    cut_in_m=30 * PSI,
    cut_out_m=50 * PSI,
    pressure_tank=PressureTank(50 * GAL, 28 * PSI),
    check_valve=True,
    dry_run_m=0.3,
    in_line=(FILTER,),
    outlets=(SINK, SHOWER, TOILET),
    heater=True,
    hydrant_drains=False,
    expansion_tank=True,
    vacuum_breakers=True,
)
CONTROLLED = replace(HOUSE, control="variable speed", cut_in_m=None, cut_out_m=45 * PSI)
HELD = replace(CONTROLLED, pressure_tank=PressureTank(2 * GAL, 0.7 * 45 * PSI))
LARGE_SINK = replace(SINK, needs_l_s=2 * GPM)
ON_DEMAND = replace(
    HOUSE, control="on demand", pressure_tank=PressureTank(2 * GAL, 28 * PSI), outlets=(LARGE_SINK,)
)


def site_of(making, line, *, tank=TANK, place=PLACE):
    return making.site(tanks=(tank,), lines=(line,), place=place)


def found(making, line, **fields):
    site = site_of(making, line, **fields)
    return list(service_holds(site, serve(site)))


def codes(making, line, **fields):
    return {one.code for one in found(making, line, **fields)}


def the(making, line, code, **fields):
    (finding,) = [one for one in found(making, line, **fields) if one.code == code]
    return finding


@pytest.mark.parametrize(
    "line", [HOUSE, HELD, ON_DEMAND], ids=["switch", "variable speed", "on demand"]
)
def test_all_is_well(making, line):
    assert codes(making, line) == set()


def test_a_peak_above_the_pump_and_the_pump_that_gives_it(making):
    outlets = (*HOUSE.outlets, Outlet("tubs", "tub and shower", count=2, level_m=1.0))
    small = replace(HOUSE, pump=generic_pump("1/3 hp jet"), outlets=outlets)
    finding = the(making, small, "pump-below-peak")
    assert finding.level == "fix"
    assert finding.measured < finding.limit
    name = finding.fix.split(" pump,")[0]
    assert "pump-below-peak" not in codes(making, replace(small, pump=generic_pump(name)))


def test_no_pump_in_the_list_gives_it(making):
    hoses = replace(SINK, fixture="hose bibb", needs_l_s=40 * GPM)
    finding = the(making, replace(HOUSE, outlets=(hoses,)), "pump-below-peak")
    assert finding.fix.startswith("no pump of its kind")


def test_an_outlet_above_all_reach(making):
    site = site_of(making, HOUSE)
    reach = serve(site)[0].pump.reach_m
    high = replace(SINK, level_m=reach + 3.0)
    finding = the(making, replace(HOUSE, outlets=(high,)), "outlet-above-reach")
    assert finding.level == "stop"
    # 3 m too high, and what the sink needs: 8 psi
    lower = replace(high, level_m=high.level_m - (finding.limit - finding.measured) - 8 * PSI)
    assert "outlet-above-reach" not in codes(making, replace(HOUSE, outlets=(lower,)))


def test_short_of_pressure_with_dirty_filters_and_the_switch_raised(making):
    high = replace(SHOWER, level_m=(30 - 8) * PSI - 0.3)
    line = replace(HOUSE, outlets=(high,))
    finding = the(making, line, "outlet-short-of-pressure")
    assert finding.level == "watch"
    more = finding.limit - finding.measured + 1e-6
    raised = replace(
        line,
        cut_in_m=line.cut_in_m + more,
        cut_out_m=line.cut_out_m + more,
        pressure_tank=PressureTank(50 * GAL, 28 * PSI + more),
    )
    assert codes(making, raised) == set()


def test_short_of_pressure_even_with_clean_filters(making):
    high = replace(SHOWER, level_m=(30 - 8) * PSI)
    assert the(making, replace(HOUSE, outlets=(high,)), "outlet-short-of-pressure").level == "fix"


def test_a_pump_that_never_stops_and_the_cut_out_lowered(making):
    high = replace(HOUSE, cut_out_m=70 * PSI)
    finding = the(making, high, "pump-never-stops")
    assert finding.level == "stop"
    assert "licensed electrician" in finding.says
    lower = read(finding.fix.split("at most ")[1].split(",")[0], "pressure")
    assert not {"pump-never-stops", "cut-out-near-reach"} & codes(
        making, replace(high, cut_out_m=lower)
    )


def test_a_cut_out_near_the_reach_and_the_larger_pump(making):
    reach = serve(site_of(making, HOUSE))[0].pump.reach_m
    near = replace(HOUSE, cut_out_m=reach / 1.02)
    finding = the(making, near, "cut-out-near-reach")
    name = finding.fix.split("or a ")[1].split(" pump")[0]
    larger = replace(near, pump=generic_pump(name))
    assert "cut-out-near-reach" not in codes(making, larger)


@pytest.mark.parametrize("dry_run_m", [0.0, 0.1], ids=["none", "below the outlet"])
def test_a_pump_that_may_run_dry(making, dry_run_m):
    finding = the(making, replace(HOUSE, dry_run_m=dry_run_m), "pump-runs-dry")
    least = read(finding.fix.split("tank, ")[1].split(" over")[0], "length")
    assert least >= 0.2
    assert "pump-runs-dry" not in codes(making, replace(HOUSE, dry_run_m=least))


def test_a_jet_pump_on_the_hill_and_lower(making):
    high = replace(HOUSE, pump_m=8.5)
    finding = the(making, high, "suction-lift-too-high")
    assert finding.level == "stop"
    lower = replace(high, pump_m=8.5 - (finding.measured - finding.limit))
    assert "suction-lift-too-high" not in codes(making, lower)


def test_too_little_suction_head_and_the_pump_lower(making):
    thirsty = replace(HOUSE, pump=replace(HOUSE.pump, npsh_m=9.5), pump_m=1.5)
    finding = the(making, thirsty, "suction-head-short")
    lower = replace(thirsty, pump_m=1.5 - (finding.limit - finding.measured))
    assert "suction-head-short" not in codes(making, lower)


@pytest.mark.parametrize("psi", [33, 29.5, 20])
def test_wrong_air_in_the_pressure_tank(making, psi):
    line = replace(HOUSE, pressure_tank=PressureTank(80 * GAL, psi * PSI))
    finding = the(making, line, "precharge-wrong")
    assert finding.fix.startswith("28 psi of air, set with the tank empty")
    right = read(finding.fix.split(" of air")[0], "pressure")
    mended = replace(line, pressure_tank=PressureTank(80 * GAL, right))
    assert "precharge-wrong" not in codes(making, mended)


def test_air_of_the_small_tank_of_a_variable_speed(making):
    line = replace(HELD, pressure_tank=PressureTank(2 * GAL, 43 * PSI))
    right = read(the(making, line, "precharge-wrong").fix.split(" of air")[0], "pressure")
    assert right == pytest.approx(0.7 * 45 * PSI, rel=0.01)
    assert codes(making, replace(line, pressure_tank=PressureTank(2 * GAL, right))) == set()


def test_a_pressure_tank_too_small_and_the_size_that_does(making):
    line = replace(HOUSE, pressure_tank=PressureTank(5 * GAL, 28 * PSI))
    finding = the(making, line, "pressure-tank-small")
    size = read(finding.fix.split("tank of ")[1].split(" with")[0], "volume")
    assert codes(making, replace(line, pressure_tank=PressureTank(size, 28 * PSI))) == set()


def test_a_switch_without_a_pressure_tank(making):
    assert the(making, replace(HOUSE, pressure_tank=None), "no-pressure-tank").level == "fix"


def test_water_too_fast_and_the_wider_pipe(making):
    thin = replace(HOUSE, main=Pipe(12.0, 12.0))
    finding = next(one for one in found(making, thin) if one.code == "water-too-fast")
    least = 12.0 * (finding.measured / finding.limit) ** 0.5
    assert "water-too-fast" not in codes(making, replace(HOUSE, main=Pipe(least, 12.0)))


def test_a_lamp_passes_more_than_it_may_and_the_larger_lamp(making):
    lamp = InLine("lamp", "lamp", 10 * GPM, 2 * PSI, 2 * PSI, most_l_s=6 * GPM)
    line = replace(HOUSE, in_line=(FILTER, lamp))
    finding = the(making, line, "too-much-through")
    assert finding.level == "fix"
    larger = replace(lamp, most_l_s=read(finding.fix.split("may pass ")[1], "flow"))
    assert codes(making, replace(line, in_line=(FILTER, larger))) == set()


def test_a_heater_behind_a_check_valve(making):
    line = replace(HOUSE, expansion_tank=None)
    assert the(making, line, "heater-shut-in").level == "watch"
    assert the(making, replace(line, expansion_tank=False), "heater-shut-in").level == "fix"
    assert codes(making, replace(line, check_valve=False)) == set()
    assert codes(making, replace(line, heater=False)) == set()
    device = InLine("backflow", "backflow device", 10 * GPM, 1.0, 1.0)
    behind = replace(line, check_valve=False, in_line=(device,))
    assert codes(making, behind) == {"heater-shut-in"}


def test_a_hose_without_a_vacuum_breaker(making):
    hose = Outlet("hose", "hose bibb", level_m=0.5)
    line = replace(HOUSE, outlets=(hose,), vacuum_breakers=None)
    finding = the(making, line, "hose-without-vacuum-breaker")
    assert finding.level == "note"
    assert "licensed plumber" in finding.says
    without = replace(line, vacuum_breakers=False)
    assert the(making, without, "hose-without-vacuum-breaker").level == "fix"
    assert codes(making, replace(line, vacuum_breakers=True)) == set()


def test_a_hydrant_that_drains_into_the_soil(making):
    finding = the(making, replace(HOUSE, hydrant_drains=True), "hydrant-drains-to-soil")
    assert finding.level == "stop"


def test_a_draw_below_the_least_flow_of_an_on_demand_pump(making):
    small = replace(SINK, needs_l_s=0.3 * GPM)
    line = replace(ON_DEMAND, outlets=(small,))
    finding = the(making, line, "draw-below-least-flow")
    larger = replace(small, needs_l_s=finding.limit)
    assert codes(making, replace(line, outlets=(larger,))) == set()


@pytest.mark.parametrize("line", [HELD, ON_DEMAND], ids=["variable speed", "on demand"])
def test_a_leak_starts_the_pump_again_and_again(making, line):
    finding = the(making, replace(line, pressure_tank=None), "leak-cycles-pump")
    assert "a pressure tank of 2 gal" in finding.fix


def test_on_demand_short_of_head_and_the_pump_of_more(making):
    high = replace(LARGE_SINK, level_m=45 * PSI)
    line = replace(ON_DEMAND, outlets=(high,), pump=generic_pump("1/3 hp jet"))
    finding = the(making, line, "pump-below-peak")
    budget = serve(site_of(making, line))[0].budget
    more = -budget.spare_m
    assert finding.measured < finding.limit
    curve = tuple((flow, head + more) for flow, head in line.pump.curve)
    assert codes(making, replace(line, pump=replace(line.pump, curve=curve))) == set()


def test_what_is_unknown_is_said_once_a_line(making):
    bare = Line("house", "tank", Pipe(26.6, 12.0), pump=HOUSE.pump, outlets=(SINK,))
    (finding,) = [one for one in found(making, bare) if one.level == "note"]
    assert finding.code == "service-not-checked"
    for words in ("level of the pump", "cut-in and cut-out", "dry-run cut-off", "check valve"):
        assert words in finding.says
    assert "no-pressure-tank" in codes(making, bare)


def test_a_motor_of_unknown_power_is_said_where_its_starts_are_judged(making):
    unnamed = replace(HOUSE, pump=replace(HOUSE.pump, motor_w=None))
    (finding,) = [one for one in found(making, unnamed) if one.code == "service-not-checked"]
    assert "power of the pump's motor" in finding.says
    on_demand = replace(unnamed, control="on demand")
    assert not any("motor" in one.says for one in found(making, on_demand) if one.level == "note")


def test_a_metric_site_is_told_a_metric_pipe(making):
    narrow = replace(HOUSE, main=replace(HOUSE.main, bore_mm=9.0))
    place = replace(PLACE, show="metric")
    fixes = [x.fix for x in found(making, narrow, place=place) if x.code == "water-too-fast"]
    assert fixes
    assert all("mm" in fix for fix in fixes)


def test_a_line_without_a_pump_is_none_of_this(making):
    assert found(making, replace(HOUSE, pump=None)) == []
