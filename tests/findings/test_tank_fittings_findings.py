"""Checks on what is fitted to a tank: each fires, keeps silent, and its way out passes."""

import re
from dataclasses import replace

import pytest

from eavewell.findings.tank import tanks_connect
from eavewell.findings.tank_row import with_link
from eavewell.hydraulics.overflow import lower_overflow, overflow_l_s, with_overflow
from eavewell.hydraulics.standard_sizes import standard_bores
from eavewell.hydraulics.tank_connections import connect
from eavewell.site.ground import Ground
from eavewell.site.gutter import Gutter
from eavewell.site.hauling import Hauling
from eavewell.site.lift import Lift
from eavewell.site.pipe import Pipe
from eavewell.site.place import Place
from eavewell.site.screen import Screen
from eavewell.units import read

SOLD = dict(standard_bores())
TRUCK = (Hauling("tank", 8000.0, 3),)


@pytest.fixture
def made(made_up_tanks):
    return made_up_tanks


@pytest.fixture
def found(making, made):
    def _found(tank, *, mm_h=90.0, **fields):
        fields = {"roofs": (making.roof(40.0),), "tanks": (tank,)} | fields
        site = making.site(**fields)
        return list(tanks_connect(site, connect(site, made.Storms(mm_h))))

    return _found


@pytest.fixture
def codes(found):
    return lambda tank, **fields: {one.code for one in found(tank, **fields)}


def test_all_is_well(made, codes):
    assert codes(made.TANK) == set()
    assert codes(made.ROW) == set()


def test_an_overflow_too_small_and_its_ways_out(made, found, codes):
    carried = overflow_l_s(made.TANK)
    mm_h = 1.2 * carried * 3600 / 40
    (finding,) = found(made.TANK, mm_h=mm_h)
    assert (finding.code, finding.level) == ("overflow-too-small", "fix")
    assert finding.measured == pytest.approx(carried)
    assert finding.limit == pytest.approx(1.2 * carried)
    sold, more = finding.fix.split(", or ")
    size = SOLD[sold.removeprefix("an overflow of ")]
    assert codes(with_overflow(made.TANK, bore_mm=size), mm_h=mm_h) == set()
    assert more == "2 like this one"
    assert codes(with_overflow(made.TANK, count=2), mm_h=mm_h) == set()
    assert "overflow-too-small" in codes(with_overflow(made.TANK, bore_mm=90.0), mm_h=mm_h)


def test_where_no_size_fits_below_the_rim_it_begins_lower(made, found, codes):
    high = replace(made.TANK, overflow_m=1.95)
    (finding,) = found(high, mm_h=360.0)
    (lower,) = [way for way in finding.fix.split(", or ") if "begins" in way]
    name, height = re.match(r"one of (.*) that begins (.*) above the floor", lower).groups()
    _, mended = lower_overflow(high, finding.limit, family="pipe")
    assert read(height, "length") <= mended.overflow_m
    assert name
    lowered = replace(mended, overflow_m=read(height, "length"))
    assert codes(lowered, mm_h=360.0) == set()


def test_a_truck_counts_where_the_site_hauls(made, found, codes):
    assert codes(fitted_truck(made), hauling=()) == set()
    (finding,) = found(fitted_truck(made), hauling=TRUCK)
    assert finding.code == "overflow-too-small"
    assert "truck" in finding.says
    assert codes(with_overflow(fitted_truck(made), bore_mm=202.72), hauling=TRUCK) == set()


def fitted_truck(made):
    return made.fitted(made.TANK, truck_fill_gap=True)


def test_a_larger_inlet_than_the_overflow(made, found, codes):
    wide = made.fitted(made.TANK, inlet_mm=154.05)
    (finding,) = found(wide)
    assert finding.code == "overflow-smaller-than-inlet"
    assert "6 in" in finding.fix
    assert codes(with_overflow(wide, bore_mm=154.05)) == set()
    assert codes(with_overflow(wide, count=3)) == set()
    # a 4 in inlet and a 110 mm overflow go by one size
    assert codes(made.fitted(made.TANK, inlet_mm=102.26)) == set()


def test_no_air_break(made, found, codes):
    (finding,) = found(made.spilling(made.TANK, air_break_m=0.0))
    assert (finding.code, finding.limit) == ("overflow-no-air-break", pytest.approx(0.0254))
    assert codes(made.spilling(made.TANK, air_break_m=finding.limit)) == set()
    assert codes(made.spilling(made.TANK, air_break_m=None)) == {"tank-not-checked"}


@pytest.mark.parametrize("height", [2.0, 2.1])
def test_no_freeboard(made, found, codes, height):
    (finding,) = found(replace(made.TANK, overflow_m=height))
    assert finding.code == "overflow-no-freeboard"
    lower = read(re.search(r"overflow (.*) above", finding.fix)[1], "length")
    assert codes(replace(made.TANK, overflow_m=lower)) == set()


def test_an_overflow_without_a_destination(made, found, codes):
    (finding,) = found(replace(made.TANK, overflow_to=""))
    assert finding.code == "overflow-goes-nowhere"
    assert codes(replace(made.TANK, overflow_to="basin")) == set()


def test_an_overflow_at_the_building(made, found, codes):
    (finding,) = found(made.spilling(made.TANK, away_m=2.0))
    assert finding.code == "overflow-at-the-building"
    away = read(re.search(r"ends (.*) from", finding.fix)[1], "length")
    assert codes(made.spilling(made.TANK, away_m=away)) == set()
    assert codes(made.spilling(made.TANK, away_m=None)) == {"overflow-distance-unknown"}
    # it runs into another tank: no distance is asked for
    below = replace(made.TANK, name="below")
    into = replace(made.spilling(made.TANK, away_m=None), overflow_to="below")
    assert codes(into, tanks=(into, below)) == set()


def test_water_that_lands_above_the_floor(made, found, codes):
    ground = Ground(floor_m=0.0)
    (finding,) = found(made.TANK, ground=ground)
    # the pipe ends at 0.3 m, 0.1 m over where its water lands
    assert (finding.code, finding.measured) == ("overflow-above-the-floor", pytest.approx(0.2))
    lower = read(re.search(r"an end (.*) lower", finding.fix)[1], "length")
    assert codes(made.spilling(made.TANK, end_m=0.3 - lower), ground=ground) == set()
    assert codes(made.TANK, ground=Ground(floor_m=0.5)) == set()


def test_floors_that_differ_and_their_shims(made, found, codes):
    uneven = made.fitted(made.ROW, bases_m=(0.0, 0.15))
    (finding,) = found(uneven)
    assert finding.code == "tank-floors-differ"
    # 0.15 m of a tank 2 m across
    assert finding.measured == pytest.approx(471.2, abs=0.1)
    shim = read(re.search(r"tank 1 (.*)$", finding.fix)[1], "length")
    assert codes(made.fitted(made.ROW, bases_m=(shim, 0.15))) == set()
    assert codes(made.fitted(made.ROW, bases_m=(0.0, 0.005))) == set()


def test_a_link_too_small(made, found, codes):
    narrow = with_link(made.ROW, 15.8)
    (finding,) = found(narrow)
    assert (finding.code, finding.limit) == ("link-too-small", pytest.approx(0.5))
    size = SOLD[re.search(r"pipe of (.*), or", finding.fix)[1]]
    assert codes(with_link(made.ROW, size)) == set()


def test_valves_and_settling_and_sediment(made, found, codes):
    link = made.ROW.fittings.link
    for change, code in (
        ({"valves": False}, "link-without-valves"),
        ({"flexible": False}, "link-rigid"),
        ({"level_m": 0.02}, "link-below-sediment"),
        ({"valves": None}, "tank-not-checked"),
    ):
        assert codes(made.fitted(made.ROW, link=replace(link, **change))) == {code}
    low = made.fitted(made.ROW, link=replace(link, level_m=0.0))
    (finding,) = found(low)
    level = read(re.search(r"a link (.*) above", finding.fix)[1], "length")
    assert codes(made.fitted(made.ROW, link=replace(link, level_m=level))) == set()


def test_a_vent_too_small_and_none(made, found, codes):
    for bore, code in ((10.0, "vent-too-small"), (0.0, "vent-missing")):
        (finding,) = found(made.fitted(made.TANK, vent_mm=bore))
        assert finding.code == code
        # the open drain draws 4.35 L/s
        assert finding.limit == pytest.approx(4.35, abs=0.01)
        size = SOLD[re.search(r"vent of (.*), screened", finding.fix)[1]]
        assert codes(made.fitted(made.TANK, vent_mm=size)) == set()
    assert codes(replace(made.fitted(made.TANK, vent_mm=0.0), open_area_m2=3.0)) == set()


def test_light(made, codes):
    assert codes(made.fitted(made.TANK, translucent=True)) == {"tank-lets-light-in"}


def test_openings_that_let_insects_in(making, made, found, codes):
    coarse = replace(making.roof(40.0), screens=(Screen("basket", 0.95, mesh_mm=6.35),))
    fine = replace(coarse, screens=(*coarse.screens, Screen("fine", 0.95, mesh_mm=1.5875)))
    (finding,) = found(made.TANK, roofs=(coarse,))
    assert finding.code == "openings-let-insects-in"
    assert "1/16 in" in finding.fix or "0.0625 in" in finding.fix
    assert codes(made.TANK, roofs=(fine,)) == set()
    open_vent = made.fitted(made.TANK, vent_screened=False)
    (finding,) = found(made.spilling(open_vent, screened=False))
    assert "vent, overflow" in finding.says


def test_dead_storage(made, found, codes):
    high = replace(made.TANK, outlet_m=0.5)
    (finding,) = found(high)
    assert (finding.code, finding.measured) == ("dead-storage-large", pytest.approx(0.5 / 1.7))
    lower = read(re.search(r"higher than (.*), or", finding.fix)[1], "length")
    assert lower == pytest.approx(0.15 * 1.7, abs=0.01)
    assert codes(replace(made.TANK, outlet_m=lower)) == set()


@pytest.mark.parametrize("show", ["us", "metric"])
def test_sizes_named_in_either_system_pass(made, found, codes, show):
    place = Place(30.0, -98.0, 400.0, show=show)
    (finding,) = found(made.fitted(made.TANK, mesh_mm=3.0), place=place)
    mesh_mm = read(re.search(r"mesh of (.*) or finer", finding.fix)[1], "mesh")
    assert codes(made.fitted(made.TANK, mesh_mm=mesh_mm), place=place) == set()
    (finding,) = found(made.spilling(made.TANK, air_break_m=0.0), place=place)
    free_m = read(finding.fix.removesuffix(" of free air below its end"), "length")
    assert codes(made.spilling(made.TANK, air_break_m=free_m), place=place) == set()
    for bottom_m in (0.43, 0.5, 0.61):
        (finding,) = found(replace(made.TANK, outlet_m=bottom_m), place=place)
        lower = read(re.search(r"higher than (.*), or", finding.fix)[1], "length")
        assert codes(replace(made.TANK, outlet_m=lower), place=place) == set()


def test_a_concrete_tank_is_filled_slowly(made, found):
    (finding,) = found(replace(made.TANK, material="cast concrete"))
    assert (finding.code, finding.level) == ("concrete-filled-slowly", "note")
    # 5,341 L to the overflow: 1,780 L or 470 gal a day
    assert "over 3 days, 470 gal a day" in finding.says


def test_make_up_without_an_air_gap_is_not_approvable(making, made, found, codes):
    riser = Pipe(26.64, 5.0)
    lift = Lift("make-up", "mains", "tank", riser=riser, target_start_share=0.3)
    bare = made.fitted(made.TANK, make_up_l_s=0.3, air_gap_m=0.0)
    (finding,) = found(bare, lifts=(lift,))
    assert (finding.code, finding.level) == ("make-up-without-air-gap", "stop")
    assert "not approvable" in finding.says
    assert "licensed plumber" in finding.says
    assert finding.limit == pytest.approx(2 * 0.02664)
    gap = read(re.match(r"(.*) of free air", finding.fix)[1], "length")
    assert codes(made.fitted(bare, air_gap_m=gap), lifts=(lift,)) == set()
    # one inch where the bore is not known; two bores of the pipe rule before
    assert codes(made.fitted(bare, air_gap_m=0.0254)) == set()
    assert codes(made.fitted(bare, air_gap_m=0.0254), lifts=(lift,)) == {finding.code}


def test_make_up_with_neither_gap_nor_device_is_a_stop(made, found):
    (finding,) = found(made.fitted(made.TANK, make_up_l_s=0.3))
    assert (finding.code, finding.level) == ("air-gap-unknown", "stop")
    # the gap it names passes
    gap = read(re.match(r"(.*) of free air", finding.fix)[1], "length")
    assert list(found(made.fitted(made.TANK, make_up_l_s=0.3, air_gap_m=gap))) == []


def test_a_device_in_place_of_the_gap_is_left_to_its_tester(made, found):
    tank = made.fitted(made.TANK, make_up_l_s=0.3, backflow_device="reduced pressure, listed")
    (finding,) = found(tank)
    assert (finding.code, finding.level) == ("backflow-device-tested", "watch")
    assert "licensed tester" in finding.says
    assert list(found(made.fitted(tank, air_gap_m=0.03))) == []


def test_a_use_that_falls_back_on_the_mains_needs_the_gap(making, made, codes):
    uses = (making.use(fallback="mains"),)
    assert codes(made.TANK, uses=uses) == {"air-gap-unknown"}
    none = made.fitted(made.TANK, backflow_device="none")
    assert codes(none, uses=uses) == {"air-gap-unknown"}
    assert codes(made.fitted(made.TANK, air_gap_m=0.01), uses=uses) == {"make-up-without-air-gap"}
    assert codes(made.fitted(made.TANK, air_gap_m=0.03), uses=uses) == set()


def test_make_up_that_runs_while_the_tank_holds_water(made, found, codes):
    tank = made.fitted(made.TANK, make_up_l_s=0.3, air_gap_m=0.1)
    early = Lift("make-up", "mains", "tank", target_start_share=0.8)
    (finding,) = found(tank, lifts=(early,))
    assert (finding.code, finding.where) == ("make-up-hides-failure", "lift 'make-up'")
    late = replace(early, target_start_share=finding.limit)
    assert codes(tank, lifts=(late,)) == set()


def test_a_hose_that_hangs_in_the_water(made, codes):
    wide = with_overflow(made.TANK, bore_mm=202.72)
    hose = made.fitted(wide, truck_fill_gap=False)
    assert codes(hose, hauling=TRUCK) == {"truck-fill-without-gap"}
    assert codes(hose) == set()
    assert codes(made.fitted(wide, truck_fill_gap=True), hauling=TRUCK) == set()
    assert codes(wide, hauling=TRUCK) == {"tank-not-checked"}


def test_one_note_says_what_is_not_known(made, found):
    half = made.fitted(made.TANK, inlet_mm=None, vent_mm=None)
    (finding,) = found(half)
    assert (finding.code, finding.says) == (
        "tank-not-checked",
        "Not checked: inlet bore, vent unknown.",
    )
    (finding,) = found(made.TANK, mm_h=None)
    assert "inflow in the design storm" in finding.says


def test_a_tank_without_fittings_gets_a_note_only_where_water_ways_are_described(making, codes):
    gutter = Gutter("eave", "half-round", 100.0, length_m=8.0)
    roof = replace(making.roof(40.0), gutters=(gutter,))
    assert codes(making.tank()) == set()
    assert codes(making.tank(), roofs=(roof,)) == {"tank-fittings-unknown"}
