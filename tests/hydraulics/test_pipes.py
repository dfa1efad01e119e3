"""Pipes that join, what each carries, and mains solved together; every site is invented."""

import math
from dataclasses import replace

import pytest

from eavewell.site.pipe import Pipe

FT = 0.3048


def head_m(flow_l_s, pipe):
    """Hazen and Williams in feet and cubic feet per second, C 150, by hand."""
    flow, bore = flow_l_s / 1000 / FT**3, pipe.bore_mm / 1000 / FT
    return 4.727 * (pipe.length_m / FT) * (flow / 150) ** 1.852 / bore**4.871 * FT


def speed_head_m(flow_l_s, pipe):
    return (flow_l_s / 1000 / (math.pi / 4 * (pipe.bore_mm / 1000) ** 2)) ** 2 / 2 / 9.80665


@pytest.fixture
def three(made_up_pipes):
    """Barn and house join one buried main; the barn's opening is the lowest."""
    p = made_up_pipes
    runs = (
        p.wet("main", carries=(), pipe=Pipe(100.0, 40.0)),
        p.wet("barn", carries=("barn",), to="main", pipe=Pipe(75.0, 25.0)),
        p.wet("house", carries=("house",), to="main", pipe=Pipe(75.0, 10.0)),
    )
    roofs = (p.roof("barn", 120.0, 3.6), p.roof("house", 60.0, 5.0))
    return p.site(*runs, roofs=roofs)


def test_branches_share_the_main(three, made_up_pipes):
    main = made_up_pipes.conveyed(three, 108.0).mains[0]
    pipes = {pipe.run.name: pipe for pipe in main.pipes}
    flows = {name: pipe.flow_l_s for name, pipe in pipes.items()}
    assert flows == pytest.approx({"main": 5.4, "barn": 3.6, "house": 1.8})
    shared = head_m(5.4, Pipe(100.0, 40.0)) + speed_head_m(5.4, Pipe(100.0, 40.0))
    barn = 3.0 + shared + head_m(3.6, Pipe(75.0, 25.0))
    house = 3.0 + shared + head_m(1.8, Pipe(75.0, 10.0))
    assert pipes["barn"].water_m == pytest.approx(barn, abs=1e-4)
    assert pipes["house"].water_m == pytest.approx(house, abs=1e-4)
    assert main.first == "barn"
    assert main.spare_m == pytest.approx(3.6 - barn, abs=1e-4)
    # the main itself has no opening
    assert pipes["main"].spare_m is None
    assert not pipes["main"].opens


def test_it_spills_where_the_water_just_reaches_the_opening(three, made_up_pipes):
    main = made_up_pipes.conveyed(three).mains[0]
    again = made_up_pipes.conveyed(three, main.spills_mm_h).mains[0]
    assert again.spare_m == pytest.approx(0.0, abs=1e-6)
    assert main.spills_years == pytest.approx(10.0 * main.spills_mm_h / 100.0)


def test_the_main_agrees_with_a_network_solver(three, made_up_pipes, tmp_path):
    """EPANET 2.3 on the same tree, by Hazen and Williams, within 1 %."""
    toolkit = pytest.importorskip("epanet.toolkit")
    main = made_up_pipes.conveyed(three, 108.0).mains[0]
    pipes = {pipe.run.name: pipe for pipe in main.pipes}
    model = toolkit.createproject()
    toolkit.init(model, "", "", toolkit.LPS, toolkit.HW)
    for name, kind in (("tank", toolkit.RESERVOIR), ("fork", 0), ("barn", 0), ("house", 0)):
        toolkit.addnode(model, name, kind)
    toolkit.setnodevalue(model, 1, toolkit.ELEVATION, 3.0)
    index = {name: toolkit.getnodeindex(model, name) for name in ("tank", "fork", "barn", "house")}
    toolkit.setnodevalue(model, index["tank"], toolkit.ELEVATION, 3.0)
    for name, flow in (("barn", -3.6), ("house", -1.8)):
        toolkit.setnodevalue(model, index[name], toolkit.BASEDEMAND, flow)
    for name, start, end in (
        ("main", "fork", "tank"),
        ("barn", "barn", "fork"),
        ("house", "house", "fork"),
    ):
        link = toolkit.addlink(model, name, toolkit.PIPE, start, end)
        pipe = pipes[name].run.pipe
        toolkit.setpipedata(model, link, pipe.length_m, pipe.bore_mm, 150.0, 0.0)
    toolkit.solveH(model)
    exit_m = speed_head_m(5.4, Pipe(100.0, 40.0))
    for name in ("barn", "house"):
        head = toolkit.getnodevalue(model, index[name], toolkit.HEAD)
        lost = pipes[name].water_m - 3.0 - exit_m
        assert lost == pytest.approx(head - 3.0, rel=0.01)
    toolkit.deleteproject(model)


def test_a_listed_exit_is_not_counted_twice(made_up_pipes):
    p = made_up_pipes
    bare = p.conveyed(p.site(p.wet())).mains[0]
    listed = replace(p.FOUR_INCH, fittings=(("exit", 1),))
    same = p.conveyed(p.site(p.wet(pipe=listed))).mains[0]
    assert same.spare_m == pytest.approx(bare.spare_m)


def test_the_tank_spilling_is_the_level_to_reach(made_up_pipes):
    """An inlet below the overflow gains nothing: 2.5 m to the rim, 0.05 m over it."""
    p = made_up_pipes
    low = p.conveyed(p.site(p.wet(to_m=1.0))).mains[0]
    assert low.outlet_m == pytest.approx(2.55)
    stated = p.conveyed(p.site(p.wet(to_m=1.0)), over_m={"tank": 0.2}).mains[0]
    assert stated.outlet_m == pytest.approx(2.7)
    high = p.conveyed(p.site(p.wet(to_m=3.1))).mains[0]
    assert high.outlet_m == pytest.approx(3.1)
    unknown = p.conveyed(p.site(p.wet(to_m=None), tanks=(p.tank(base_m=None),))).mains[0]
    assert unknown.outlet_m is None
    assert unknown.holds is None


def test_a_dry_pipe_opens_into_a_wet_one(made_up_pipes):
    """Its gutter and its own opening are among those that may spill."""
    p = made_up_pipes
    runs = (p.wet(carries=()), p.dry("down", to="pipe", fall=0.02))
    main = p.conveyed(p.site(*runs)).mains[0]
    assert main.pipes[0].opening_m == pytest.approx(4.0)
    tee = p.conveyed(p.site(runs[0], replace(runs[1], opening_m=3.5))).mains[0]
    assert tee.pipes[0].opening_m == pytest.approx(3.5)
    bare = p.conveyed(p.site(*runs, roofs=(p.roof(eave_m=None),))).mains[0]
    assert bare.pipes[0].opening_m is None


def test_joined_dry_pipes_carry_what_comes_from_above(made_up_pipes):
    p = made_up_pipes
    runs = (
        p.dry("low", carries=("south", "north")),
        p.dry("high", carries=("north",), to="low"),
    )
    roofs = (p.roof("north", 36.0), p.roof("south", 72.0))
    low, high = p.conveyed(p.site(*runs, roofs=roofs)).dry
    assert low.flow_l_s == pytest.approx(3.0)
    assert high.flow_l_s == pytest.approx(1.0)
    counted = p.conveyed(p.site(*runs, roofs=roofs), areas_m2={"north": 72.0}).dry
    assert counted[0].flow_l_s == pytest.approx(4.0)


def test_a_roof_with_two_pipes_shares_its_water(made_up_pipes):
    p = made_up_pipes
    east, west = p.conveyed(p.site(p.dry("east"), p.dry("west"))).dry
    assert east.area_m2 == west.area_m2 == pytest.approx(50.0)


def test_a_dry_pipe_fails_at_its_full_flow(made_up_pipes):
    p = made_up_pipes
    pipe = p.conveyed(p.site(p.dry())).dry[0]
    # Manning by hand: A R^(2/3) S^(1/2) / n
    bore = 0.1016
    full = 1000 * math.pi / 4 * bore**2 * (bore / 4) ** (2 / 3) * math.sqrt(0.02) / 0.010
    assert pipe.fall == pytest.approx(0.02)
    assert pipe.capacity_l_s == pytest.approx(full)
    assert pipe.fails_mm_h == pytest.approx(full * 3600 / 100.0)
    again = p.conveyed(p.site(p.dry()), pipe.fails_mm_h * (1 - 1e-9)).dry[0]
    assert again.depth_share == pytest.approx(0.82, abs=0.01)
    assert again.holds


def test_water_against_the_fall_has_no_figures(made_up_pipes):
    p = made_up_pipes
    pipe = p.conveyed(p.site(p.dry(from_m=2.9))).dry[0]
    assert pipe.capacity_l_s == 0.0
    assert pipe.depth_share is None
    assert pipe.speed_m_s is None
    assert pipe.holds is False


def test_no_storm_no_roof_no_pipe(made_up_pipes):
    p = made_up_pipes
    dark = p.conveyed(p.site(p.dry(), p.wet("full")), mm_h=None)
    assert dark.dry[0].flow_l_s is None
    assert dark.mains[0].spare_m is None
    assert dark.mains[0].holds is None
    empty = p.conveyed(p.site(p.wet(carries=(), opening_m=4.0))).mains[0]
    assert math.isinf(empty.spills_mm_h)
    assert p.conveyed(p.site()).dry == ()


def test_no_length_and_circles_are_left_out(made_up_pipes):
    p = made_up_pipes
    runs = (
        p.dry("short", pipe=Pipe(100.0, 0.0)),
        p.wet("one", to="two"),
        p.wet("two", to="one"),
    )
    result = p.conveyed(p.site(*runs))
    assert {run.name for run in result.tree.unsound} == {"short", "one", "two"}
    assert result.dry == result.mains == ()


def test_more_rain_leaves_less_head(three, made_up_pipes):
    spares = [made_up_pipes.conveyed(three, rain).mains[0].spare_m for rain in range(10, 300, 10)]
    assert spares == sorted(spares, reverse=True)


def test_lowest_first_on_the_list_before_frost(made_up_pipes):
    p = made_up_pipes
    runs = (p.wet("upper", low_m=0.5), p.wet("lower", low_m=-0.8))
    points = p.conveyed(p.site(*runs)).drain_down
    assert [point.thing for point in points] == ["pipe 'lower'", "pipe 'upper'"]
    assert points[0].volume_l == pytest.approx(math.pi / 4 * 0.1016**2 * 30 * 1000)
