"""Gutter runs under a storm: areas, flows, the part that governs, where and when it spills."""

import math
from dataclasses import replace

import pytest

from eavewell.hydraulics.eave_changes import changes, spouts_for_length
from eavewell.hydraulics.eave_parts import parts_of, plan_areas_m2
from eavewell.hydraulics.eaves import drain_roofs
from eavewell.hydraulics.gutters import counted_section_mm2
from eavewell.hydraulics.roof_methods import method_called, methods
from eavewell.site.gutter import Downspout, Gutter
from eavewell.site.place import Place
from eavewell.site.screen import Screen
from eavewell.site.storm import Storm

IN, GAL_MIN = 25.4, 3.785411784 / 60.0
BEIJ = method_called("Beij")


@pytest.fixture(scope="module")
def gutter(made_up_eaves):
    return made_up_eaves.gutter


@pytest.fixture(scope="module")
def site(made_up_eaves):
    return made_up_eaves.site


@pytest.fixture(scope="module")
def drained(made_up_eaves):
    return made_up_eaves.drained


@pytest.fixture(scope="module")
def only_run(drained):
    def only(whole, method=BEIJ, storms=None):
        (run,) = drained(whole, method, storms).runs
        return run

    return only


def test_a_run_on_paper(gutter, site, only_run):
    run = only_run(site(gutter()))
    # 180 mm/h on 50 m2 is 2.5 L/s; Beij's five-inch gutter carries 26.2 gal/min = 1.65 L/s
    assert run.flow_l_s == pytest.approx(2.5)
    assert run.governing == "gutter"
    assert run.capacity_l_s == pytest.approx(26.2 * GAL_MIN, rel=0.01)
    assert run.spill_mm_h == pytest.approx(180 * run.capacity_l_s / 2.5)
    assert run.spill_years == pytest.approx(10 * (run.capacity_l_s / 2.5) ** 5)


def test_the_part_that_spills_first_governs(gutter, site, only_run):
    capacities = {part.name: part.capacity_l_s for part in parts_of(gutter(), BEIJ)}
    assert list(capacities) == ["gutter", "outlet", "downspout"]
    # under 31.75 mm of water a four-inch hole is a weir: D h^1.5 / 7500
    assert capacities["outlet"] == pytest.approx(101.6 * 31.75**1.5 / 7500)
    assert capacities["downspout"] / GAL_MIN == pytest.approx(144, rel=0.005)
    small = gutter(downspout=Downspout(bore_mm=4 * IN, outlet_mm=30.0))
    assert only_run(site(small)).governing == "outlet"
    pinched = gutter(downspout=Downspout(bore_mm=4 * IN, into_mm=40.0))
    assert only_run(site(pinched)).governing == "transition"


def test_runs_share_a_roof_by_length(gutter, site):
    north, south = gutter(length_m=10.0), gutter("south", length_m=30.0)
    whole = site(north, south)
    assert plan_areas_m2(whole.roofs[0]) == pytest.approx((12.5, 37.5))
    stated = replace(whole.roofs[0], gutters=(replace(north, plan_area_m2=20.0), south))
    assert plan_areas_m2(stated) == pytest.approx((20.0, 30.0))


def test_us_and_metric_take_their_usual_rules(gutter, site, made_up_eaves):
    us, metric = (
        site(gutter()),
        site(gutter(), site_fields={"place": Place(50.0, 10.0, show="metric")}),
    )
    assert drain_roofs(us, made_up_eaves.MadeUpStorms()).method.name == "sheet metal"
    assert drain_roofs(metric, made_up_eaves.MadeUpStorms()).method.name == "EN 12056-3"


def test_water_kept_from_manure_asks_for_the_larger_storm(gutter, site, made_up_eaves):
    plain, kept = site(gutter()), site(gutter(), site_fields={"storm": Storm(manure=True)})
    assert drain_roofs(plain, made_up_eaves.MadeUpStorms()).years == 10
    found = drain_roofs(kept, made_up_eaves.MadeUpStorms())
    assert (found.years, found.minutes) == (25, 5)
    assert found.rain.mm_h == pytest.approx(180 * 2.5**0.2)


def test_each_set_of_rules_carries_its_own_storm_and_area(gutter, site, only_run):
    whole = site(gutter(fall=1 / 96), pitch=0.5)
    flows = {m.name: only_run(whole, m).flow_l_s for m in methods()}
    hour = 180 * 10**0.2 * math.sqrt(5 / 60)
    assert flows["IPC 2018"] == pytest.approx(50 * hour / 3600)
    assert flows["sheet metal"] == pytest.approx(2.5 * 1.1)
    assert flows["EN 12056-3"] == pytest.approx(2.5 * 1.25)
    assert flows["Beij"] == pytest.approx(2.5)


def test_without_a_storm_the_rain_at_which_it_spills_is_still_known(
    gutter, site, only_run, made_up_eaves
):
    run = only_run(site(gutter()), storms=made_up_eaves.NoStorms())
    assert (run.flow_l_s, run.spill_years) == (None, None)
    assert run.spill_mm_h == pytest.approx(118.7, rel=0.01)


def test_a_run_without_a_downspout_says_so(gutter, site, only_run):
    run = only_run(site(gutter(downspout=None)))
    assert [part.name for part in run.parts if part.capacity_l_s is None] == ["downspout"]
    assert run.governing == "gutter"


def test_a_roof_with_nothing_left_for_a_run_has_no_spill(gutter, site, made_up_eaves):
    whole = site(gutter(plan_area_m2=50.0), gutter("south"))
    south = drain_roofs(whole, made_up_eaves.MadeUpStorms(), method=BEIJ).runs[1]
    assert (south.area_m2, south.flow_l_s, south.spill_mm_h) == (0.0, 0.0, None)


def test_screens_are_judged_half_clogged(gutter, site, made_up_eaves):
    whole = site(gutter())
    screened = replace(whole.roofs[0], screens=(Screen("leaf", 0.98, clean_l_s=3.0),))
    (screen,) = drain_roofs(
        replace(whole, roofs=(screened,)), made_up_eaves.MadeUpStorms(), method=BEIJ
    ).screens
    assert (screen.flow_l_s, screen.half_l_s) == (pytest.approx(2.5), 1.5)
    assert screen.spill_mm_h == pytest.approx(108)


def test_a_harmful_spill_is_held_to_the_hundred_year_rain(gutter, site, only_run):
    assert only_run(site(gutter())).harm_mm_h is None
    door = only_run(site(gutter(spills_on="door")))
    assert door.harm_mm_h == pytest.approx(180 * 10**0.2)


def test_what_is_taken_for_granted_is_said(gutter, site, made_up_eaves, making):
    flat, unknown = site(gutter()), site(gutter(), pitch=None)
    assert not any(
        "pitch" in said for said in drain_roofs(flat, made_up_eaves.MadeUpStorms()).assumed
    )
    assert any(
        "6 in 12" in said for said in drain_roofs(unknown, made_up_eaves.MadeUpStorms()).assumed
    )
    assert drain_roofs(making.site(), made_up_eaves.MadeUpStorms()).assumed == ()


@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize("flow_l_s", [1.0, 2.0, 3.0, 4.0])
def test_each_change_holds_and_is_the_smallest_sold(system, flow_l_s, gutter):
    before = gutter(downspout=Downspout(bore_mm=50.0, outlet_mm=30.0, into_mm=40.0))

    def holds(after):
        return all(part.capacity_l_s >= flow_l_s for part in parts_of(after, BEIJ))

    larger, more = changes(before, flow_l_s=flow_l_s, method=BEIJ, system=system)
    assert holds(larger)
    assert holds(more)
    assert larger.spouts == 1
    assert not holds(replace(more, spouts=more.spouts - 1))


def test_no_change_where_nothing_sold_carries_it(gutter):
    assert changes(gutter(), flow_l_s=500.0, method=BEIJ, system="us") == ()


def test_downspouts_for_a_long_run(gutter):
    assert spouts_for_length(gutter(length_m=30.5), 15.24).spouts == 3
    assert spouts_for_length(gutter(length_m=30.48), 15.24).spouts == 2
    assert spouts_for_length(gutter(length_m=5.0), 15.24).spouts == 1


@pytest.mark.parametrize("method", methods(), ids=lambda method: method.name)
def test_more_roof_spills_sooner_and_a_wider_gutter_later(method, gutter, site, only_run):
    spills = [
        only_run(site(gutter(fall=1 / 96), area_m2=area), method).spill_mm_h
        for area in range(20, 200, 20)
    ]
    assert spills == sorted(spills, reverse=True)
    wider = [
        only_run(site(gutter(fall=1 / 96, width_mm=width * IN)), method).spill_mm_h
        for width in (3, 4, 5, 6)
    ]
    assert wider == sorted(wider)


@pytest.mark.parametrize("depth_mm", [5.0, 25.0, 37.5, 49.0, 50.0, 80.0])
def test_a_half_round_rolled_flatter_holds_the_arc_under_its_chord(depth_mm):
    """Thin slices, each as wide as the circle through both lips and the lowest point."""
    counted = counted_section_mm2(Gutter("g", "half-round", 100.0, 10.0, depth_mm=depth_mm))
    deep = min(depth_mm, 50.0)
    radius = (50.0**2 + deep**2) / (2 * deep)
    step = deep / 20000
    heights = [(row + 0.5) * step for row in range(20000)]
    sliced = sum(2 * math.sqrt(radius**2 - (radius - high) ** 2) for high in heights) * step
    assert counted == pytest.approx(sliced, rel=1e-4)
