"""Small nets by hand, and nets that cannot be."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from eavewell.faults import OutOfRange
from eavewell.hydraulics.friction import friction_m_hazen_williams
from eavewell.hydraulics.line_network import lateral_nodes, line_network
from eavewell.hydraulics.network import Link, Network, Node, solve
from eavewell.site.line import Line
from eavewell.site.outlet import Emitter, Lateral, Outlet
from eavewell.site.pipe import Pipe

TANK = Node("tank", head_m=10.0)


def pipe(name, start, end, **sizes):
    return Link(name, start, end, **({"bore_mm": 25.0, "length_m": 40.0} | sizes))


def test_one_pipe_to_one_draw():
    found = solve(Network((TANK, Node("tap", 1.0, demand_l_s=0.5)), (pipe("p", "tank", "tap"),)))
    lost = friction_m_hazen_williams(0.5, bore_mm=25, length_m=40, roughness_c=150)
    assert found.head_m["tap"] == pytest.approx(10 - lost, abs=1e-9)
    assert found.pressure_m["tap"] == pytest.approx(9 - lost, abs=1e-9)
    assert found.flow_l_s["p"] == pytest.approx(0.5)


def test_two_equal_pipes_share_the_flow():
    nodes = (TANK, Node("tap", demand_l_s=0.8))
    found = solve(Network(nodes, (pipe("a", "tank", "tap"), pipe("b", "tank", "tap"))))
    assert found.flow_l_s["a"] == pytest.approx(0.4, rel=1e-9)
    assert found.flow_l_s["b"] == pytest.approx(0.4, rel=1e-9)


def test_an_outlet_to_the_air_takes_k_root_of_pressure():
    # a filter that loses 4 m at 1 L/s before an outlet of k 0.5: 10 = 4 q2 + (q / 0.5)2 = 8 q2
    nodes = (TANK, Node("hose", emitter_k=0.5))
    found = solve(Network(nodes, (Link("filter", "tank", "hose", loss_s2=4.0),)))
    assert found.outlet_l_s["hose"] == pytest.approx(math.sqrt(10 / 8), rel=1e-8)


def test_a_pump_works_where_its_curve_meets_the_filter():
    # curve 20 m to 0 m at 2 L/s, straight; 5 m higher through 5 q2: 20 - 10 q = 5 + 5 q2, q = 1
    curve = ((0.0, 20.0), (0.5, 15.0), (1.5, 5.0), (2.0, 0.0))
    nodes = (Node("sump", head_m=0.0), Node("out"), Node("high", head_m=5.0))
    links = (Link("pump", "sump", "out", curve=curve), Link("f", "out", "high", loss_s2=5.0))
    found = solve(Network(nodes, links))
    assert found.flow_l_s["pump"] == pytest.approx(1.0, rel=1e-8)
    assert found.head_m["out"] == pytest.approx(10.0, rel=1e-8)
    assert not found.beyond


def test_a_pump_without_lift_enough_is_shut_and_says_no_head():
    curve = ((0.0, 20.0), (2.0, 0.0))
    nodes = (Node("sump", head_m=0.0), Node("out"), Node("high", 25.0, emitter_k=0.3))
    links = (Link("pump", "sump", "out", curve=curve), pipe("riser", "out", "high"))
    found = solve(Network(nodes, links))
    assert found.flow_l_s["pump"] == pytest.approx(0.0, abs=1e-6)
    assert found.outlet_l_s["high"] == 0.0


def test_a_check_valve_lets_nothing_back():
    nodes = (Node("high", head_m=20.0), Node("low", head_m=5.0), Node("mid", demand_l_s=0.1))
    links = (pipe("a", "high", "mid"), pipe("b", "low", "mid", one_way=True))
    found = solve(Network(nodes, links))
    assert found.flow_l_s["b"] == 0.0
    assert found.flow_l_s["a"] == pytest.approx(0.1)
    assert solve(Network(nodes, (links[0], pipe("b", "low", "mid")))).flow_l_s["b"] < 0.0


def test_a_pump_driven_beyond_its_curve_is_named():
    curve = ((0.0, 2.0), (0.5, 1.0))
    nodes = (Node("a", head_m=10.0), Node("b"), Node("c", head_m=0.0))
    links = (Link("pump", "a", "b", curve=curve), pipe("p", "b", "c"))
    assert solve(Network(nodes, links)).beyond == {"pump"}


@pytest.mark.parametrize(
    ("nodes", "links", "says"),
    [
        ((Node("a"), Node("b", demand_l_s=1)), (pipe("p", "a", "b"),), "no source"),
        ((TANK, Node("b"), Node("c")), (pipe("p", "tank", "b"),), "'c' is joined by no pipe"),
        ((TANK, Node("b")), (pipe("p", "tank", "b", length_m=0.0),), "no length"),
        ((TANK, Node("b")), (pipe("p", "tank", "z"),), "'z', which is not there"),
        ((TANK, Node("b")), (pipe("p", "b", "b"), pipe("q", "tank", "b")), "to itself"),
        ((TANK, Node("b"), Node("b")), (pipe("p", "tank", "b"),), "one name"),
        (
            (TANK, Node("b", demand_l_s=0.1)),
            (Link("pump", "tank", "b", curve=((0.0, 1.0), (1.0, 2.0))),),
            "must fall",
        ),
        ((TANK, Node("b", emitter_k=-1.0)), (pipe("p", "tank", "b"),), "exponent or size"),
        (
            (TANK, Node("m"), Node("b", demand_l_s=0.1)),
            (pipe("p", "tank", "m"), pipe("v", "b", "m", one_way=True)),
            "No water reaches 'b'",
        ),
    ],
)
def test_a_net_that_cannot_be_is_a_sentence(nodes, links, says):
    with pytest.raises(OutOfRange, match=says):
        solve(Network(nodes, links))


@pytest.mark.parametrize("apart_m", [1e-9, 0.004, 0.006, 0.0099, 0.01, 0.011])
def test_two_taps_a_hair_apart_on_a_main_run_as_at_one_place(apart_m):
    taps = [
        Outlet(name, "kitchen sink", level_m=1.0, at_m=at)
        for name, at in (("a", 3.005), ("b", 3.005 + apart_m))
    ]
    line = Line("line", "tank", Pipe(20.9, 20.0), outlets=tuple(taps))
    flows = solve(line_network(line, 5.0, running={"a", "b"})).outlet_l_s
    one = replace(line, outlets=(taps[0], replace(taps[0], name="b")))
    same = solve(line_network(one, 5.0, running={"a", "b"})).outlet_l_s
    assert flows == pytest.approx(same, rel=1e-3)


@pytest.mark.parametrize("check_valve", [True, False])
@pytest.mark.parametrize("plants", [3, 60, 150])
def test_a_lateral_that_climbs_above_the_water_drips_nothing_where_it_is_dry(plants, check_valve):
    drip = Emitter("drip", 40.0, 7.0, exponent=0.3)
    row = Lateral("row", plants, drip, 0.3, 4.0, level_m=0.2, far_level_m=2.3)
    line = Line("line", "tank", Pipe(9.5, 1.0), laterals=(row,), check_valve=check_valve)
    for water_m in (0.2, 1.0, 2.3):
        solved = solve(line_network(line, water_m, running={"row"}))
        above = [
            solved.outlet_l_s[name]
            for at, name in enumerate(lateral_nodes(row))
            if 0.2 + 2.1 * at / (plants - 1) >= water_m
        ]
        assert sum(above) == pytest.approx(0.0, abs=1e-6)
        assert solved.mass_l_s < 1e-6
        assert (sum(solved.outlet_l_s.values()) > 1e-4) == (water_m > 0.2)


def test_nearly_even_flow_at_any_head_comes_to_rest_on_a_steep_slope():
    held = Emitter("held", 4.0, 10.0, exponent=0.0)
    row = Lateral("row", 60, held, 0.02, 16.0, level_m=2.3, far_level_m=-30.0)
    line = Line("line", "tank", Pipe(15.8, 20.0), laterals=(row,))
    for water_m in (1.1375, 2.3, 9.0, 30.0):
        solved = solve(line_network(line, water_m, running={"row"}))
        assert solved.mass_l_s < 1e-6
        assert max(solved.outlet_l_s.values()) == solved.outlet_l_s["row plant 60"]


def test_a_wide_pipe_loses_more_at_more_flow_wherever_its_loss_is_next_to_nothing():
    nodes = (Node("tank", head_m=10.0), Node("end"))
    link = Link("pipe", "tank", "end", bore_mm=102.0, length_m=0.3)
    heads = [
        solve(Network((nodes[0], replace(nodes[1], demand_l_s=flow / 50.0)), (link,))).head_m["end"]
        for flow in range(1, 200)
    ]
    assert all(one > other for one, other in pairwise(heads))
