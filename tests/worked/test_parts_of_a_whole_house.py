"""Common practice, no source (COMPUTED): the parts of the three examples counted on paper.

Every count below is arithmetic on the sizes of the example's site file; stock lengths and spacings
are those of tables/stock.csv: gutter and pipe of 10 ft, hangers every 2 ft, straps every 5 ft.
"""

import math
from pathlib import Path

import pytest

from eavewell.cost.parts import stock_pieces, take_off
from eavewell.files.site.reader import site_of_text

EXAMPLES = Path(__file__).parents[2] / "examples"
FT = 0.3048
GAL = 3.785411784


def taken_off(name):
    site = site_of_text((EXAMPLES / name / "site.toml").read_text(encoding="utf-8"))
    return take_off(site)


@pytest.fixture(scope="module")
def house():
    return taken_off("whole-house")


@pytest.fixture(scope="module")
def barn():
    return taken_off("low-eaves")


@pytest.fixture(scope="module")
def barrels():
    return taken_off("barrels")


def one(listed, part, where, *, says=None):
    """The one row of a part at a place."""
    found = [
        row
        for row in listed.parts
        if row.part == part and row.where == where and (says is None or row.says == says)
    ]
    assert len(found) == 1, found
    return found[0]


def count(listed, part, where, *, says=None):
    return one(listed, part, where, says=says).count


def ordered(listed, part, called=None):
    return sum(
        row.count for row in listed.order if row.part == part and called in (None, row.called)
    )


# Roof edge: 62 ft of gutter twice, 60 ft once, two downspouts of 4 x 3 in on each.


def test_gutters(house):
    gutter = one(house, "gutter", "gutter 'north eave'")
    assert gutter.count == pytest.approx(62 * FT)
    assert len(gutter.lengths_m) == 7
    assert gutter.lengths_m[-1] == pytest.approx(2 * FT)
    assert count(house, "gutter joiner", "gutter 'north eave'") == 6
    assert count(house, "gutter end cap", "gutter 'north eave'") == 2
    assert count(house, "gutter outlet", "gutter 'north eave'") == 2
    assert count(house, "gutter hanger", "gutter 'north eave'") == 32
    assert count(house, "gutter joiner", "gutter 'long eave'") == 5
    assert count(house, "gutter hanger", "gutter 'long eave'") == 31


def test_gutter_joints_are_screwed_and_sealed(house):
    """6 joiners, 2 end caps and 2 outlets: 10 joints, 8 screws each, 10 to a tube."""
    assert count(house, "gutter screw", "gutter 'north eave'") == 80
    assert count(house, "sealant", "gutter 'north eave'") == pytest.approx(1.0)
    assert count(house, "gutter screw", "gutter 'long eave'") == 9 * 8
    assert ordered(house, "sealant") == 3  # 1 + 1 + 0.9


def test_the_gutter_order_in_stock_lengths(house):
    """62, 62 and 60 ft: 18 whole lengths, and two ends of 2 ft from a nineteenth."""
    gutter = next(row for row in house.order if row.part == "gutter")
    assert gutter.count == pytest.approx(184 * FT)
    assert len(stock_pieces(gutter)) == 19


def test_downspouts(house):
    """Two of 9 ft 6 in each: straps at 0, 5 and 9 1/2 ft."""
    where = "gutter 'north eave'"
    spout = one(house, "downspout", where)
    assert spout.count == pytest.approx(19 * FT)
    assert spout.lengths_m == pytest.approx((9.5 * FT, 9.5 * FT))
    assert spout.called == "4 x 3 in"
    assert count(house, "downspout elbow", where) == 4
    assert count(house, "downspout strap", where) == 6
    adapter = one(house, "downspout adapter", where)
    assert (adapter.count, adapter.called) == (2, "4 x 3 in to 4 in round")


def test_standpipes(house):
    """27 gal in a bore of 10 in, 18 gal in one of 8 in; 231 in3 a gallon."""
    for roof, gallons, bore_in in (("house", 27, 10), ("workshop", 18, 8)):
        pipe = one(house, "standpipe", f"first flush of roof {roof!r}")
        length_in = gallons * 231 / (math.pi / 4 * bore_in**2)
        assert pipe.count == pytest.approx(length_in * 0.0254, rel=1e-6)
        assert count(house, "standpipe cleanout", f"first flush of roof {roof!r}") == 1
        assert count(house, "tee", f"first flush of roof {roof!r}") == 1


def test_a_screen_for_every_downspout(house):
    assert count(house, "leaf screen", "screen 'leaf screen'") == 6


# Trench and wall.


def test_the_buried_main(house):
    """70 ft of 6 in with 4 elbows under 20 in of soil; the bore is 154.05 mm."""
    where = "pipe 'house main'"
    pipe = one(house, "pvc pipe", where)
    assert (pipe.count, len(pipe.lengths_m)) == (pytest.approx(70 * FT), 7)
    assert count(house, "coupling", where) == 6
    assert count(house, "elbow", where) == 4
    trench_m3 = (0.15405 + 0.3) * (0.15405 + 20 * 0.0254) * 70 * FT
    assert count(house, "excavation", where) == pytest.approx(trench_m3)
    assert count(house, "solvent cement", where) == pytest.approx(2 * (6 + 4 + 1) / 40)
    assert count(house, "pipe drain valve", where) == 1
    assert count(house, "pipe vent", where) == 1
    assert not [row for row in house.parts if row.part == "pipe strap" and row.where == where]


def test_the_pipe_in_the_open_is_strapped(house):
    """40 ft: four lengths, three couplings, straps at every 5 ft and at both ends."""
    where = "pipe 'workshop drain'"
    assert count(house, "coupling", where) == 3
    assert count(house, "elbow", where, says="45 degrees") == 2
    assert count(house, "pipe strap", where) == 9
    assert not [row for row in house.parts if row.part == "excavation" and row.where == where]


# Four tanks of 2,800 gal, 8 ft by 7 ft 6 in, on crushed rock reaching 2 ft beyond each.


def test_four_tanks(house):
    tank = one(house, "tank", "tank 'main'")
    assert tank.count == 4
    assert tank.size == pytest.approx(2800 * GAL), "as its maker states it"
    assert count(house, "anchor strap", "tank 'main'") == 12
    assert count(house, "sight tube", "tank 'main'") == pytest.approx(4 * 7.5 * FT)
    assert count(house, "vent screen", "tank 'main'") == 4


def test_bulkheads_of_four_tanks(house):
    """A drain each, two overflows each, both ends of three links, and the way out of the line."""
    where = "tank 'main'"
    assert count(house, "bulkhead fitting", where, says="for the drain") == 4
    assert count(house, "bulkhead fitting", where, says="for the overflow") == 8
    assert count(house, "bulkhead fitting", where, says="for the link") == 6
    assert count(house, "bulkhead fitting", where, says="for line 'house water'") == 1


def test_links_of_four_tanks(house):
    """Three pieces of 2 ft, each flexible with two clamps; a valve at every tank."""
    assert count(house, "pvc pipe", "link of tank 'main'") == pytest.approx(6 * FT)
    assert count(house, "flexible connector", "tank 'main'") == 3
    assert count(house, "hose clamp", "tank 'main'", says="") == 6
    assert one(house, "tank valve", "tank 'main'", says="").count == 4


def test_overflows_of_four_tanks(house):
    """Eight pipes of 15 ft: two lengths and one coupling each."""
    pipe = one(house, "pvc pipe", "overflow of tank 'main'")
    assert pipe.count == pytest.approx(8 * 15 * FT)
    assert sorted(pipe.lengths_m) == pytest.approx([5 * FT] * 8 + [10 * FT] * 8)
    assert count(house, "coupling", "overflow of tank 'main'") == 8
    assert count(house, "overflow screen", "tank 'main'") == 8


def test_two_five_foot_ends_do_not_come_from_one_length(house):
    """The saw takes 3 mm, so the eight ends of 5 ft take eight lengths, not four."""
    pipe = next(row for row in house.order if row.part == "pvc pipe" and row.called == "8 in")
    assert len(stock_pieces(pipe)) == 16


def test_crushed_rock_under_four_tanks(house):
    area_ft2 = math.pi / 4 * (8 + 4) ** 2
    rock_m3 = 4 * area_ft2 * 0.5 * FT**3 * 1.15
    assert count(house, "crushed rock", "tank 'main'") == pytest.approx(rock_m3)
    assert count(house, "geotextile", "tank 'main'") == pytest.approx(4 * area_ft2 * FT**2)
    header_m3 = math.pi / 4 * (4 + 4) ** 2 * (4 / 12) * FT**3 * 1.15
    assert count(house, "crushed rock", "tank 'header'") == pytest.approx(header_m3)


# Pump, filters and lamp.


def test_the_pump_set(house):
    where = "line 'house water'"
    for part, number in (
        ("jet pump", 1),
        ("union", 2),
        ("pump control", 1),
        ("pressure gauge", 1),
        ("dry-run cut-off", 1),
        ("pressure tank", 1),
    ):
        assert count(house, part, where) == number, part
    assert one(house, "pressure tank", where).size == pytest.approx(86 * GAL)
    checks = [row for row in house.parts if row.part == "check valve"]
    assert [(row.where, row.count) for row in checks] == [(f"suction of {where}", 1)]


def test_what_the_water_passes(house):
    assert ordered(house, "cartridge housing") == 2
    assert ordered(house, "cartridge") == 2
    cartridges = [row for row in house.order if row.part == "cartridge"]
    assert [row.spares for row in cartridges] == [1, 1]
    for part in ("lamp unit", "lamp", "lamp sleeve", "meter"):
        assert ordered(house, part) == 1, part
    assert ordered(house, "ground-fault outlet") == 2  # the pump's and the lamp's


def test_branches_to_the_outlets(house):
    """Two lavatories on branches of 12 ft: 24 ft of half-inch pipe, two tees, a coupling each."""
    where = "outlet 'lavatories'"
    assert count(house, "pvc pipe", where) == pytest.approx(24 * FT)
    assert count(house, "tee", where) == 2
    assert count(house, "coupling", where) == 2
    half_inch_ft = 10 + 12 + 8 + 2 * 12 + 2 * 12 + 18 + 18
    assert ordered(house, "pvc pipe", "1/2 in") == pytest.approx(half_inch_ft * FT)


def test_drip(house):
    """40 plants with one emitter, 10 with two; 40 ft and 60 ft of tube from one coil of 100 ft."""
    assert count(house, "emitter", "lateral 'kitchen beds'") == 40
    assert count(house, "emitter", "lateral 'orchard'") == 20
    assert ordered(house, "drip tube") == pytest.approx(100 * FT)
    assert ordered(house, "drip filter") == 2


# The barn: a sump with its lift, a 24 ft tank on sand within edging.


def test_sand_within_edging(barn):
    where, wide_ft = "tank 'ground tank'", 24 + 4
    area_ft2 = math.pi / 4 * wide_ft**2
    sand_m3 = area_ft2 * 0.5 * FT**3 * 1.1
    assert count(barn, "sand", where) == pytest.approx(sand_m3)
    assert count(barn, "edging", where) == pytest.approx(math.pi * wide_ft * FT)
    assert count(barn, "rodent mesh", where) == pytest.approx(area_ft2 * FT**2)


def test_the_lift(barn):
    """30 ft of riser: three lengths, two couplings; three floats with the one that says full."""
    where = "lift 'sump lift'"
    for part, number in (
        ("sump pump", 1),
        ("float switch", 3),
        ("high-water alarm", 1),
        ("check valve", 1),
        ("union", 1),
        ("coupling", 2),
        ("elbow", 3),
    ):
        assert count(barn, part, where) == number, part


def test_a_hundred_feet_of_gutter(barn):
    """Ten lengths, nine joiners, 51 hangers; downspouts of 7 ft to the ground."""
    where = "gutter 'south eave'"
    assert len(one(barn, "gutter", where).lengths_m) == 10
    assert count(barn, "gutter joiner", where) == 9
    assert count(barn, "gutter hanger", where) == 51
    assert count(barn, "downspout", where) == pytest.approx(21 * FT)


def test_the_buried_drain(barn):
    trench_m3 = (0.15405 + 0.3) * (0.15405 + 18 * 0.0254) * 110 * FT
    assert count(barn, "excavation", "pipe 'barn drain'") == pytest.approx(trench_m3)
    assert count(barn, "coupling", "pipe 'barn drain'") == 10


# Two barrels on a stand.


def test_two_barrels(barrels):
    where = "tank 'barrels'"
    assert count(barrels, "tank", where) == 2
    assert count(barrels, "bulkhead fitting", where, says="for the overflow") == 2
    assert count(barrels, "bulkhead fitting", where, says="for the link") == 2
    assert count(barrels, "flexible connector", where) == 1
    assert not [row for row in barrels.parts if row.part == "tank valve" and row.says == ""]
    assert count(barrels, "gutter outlet", "gutter 'front eave'") == 1
    assert count(barrels, "gutter hanger", "gutter 'front eave'") == 8
    assert count(barrels, "downspout", "gutter 'front eave'") == pytest.approx(7 * FT)
    assert ordered(barrels, "bucket tap") == 1
    assert ordered(barrels, "emitter") == 12


def test_a_first_flush_without_a_bore_is_a_box(barrels):
    box = one(barrels, "first-flush box", "first flush of roof 'shed'")
    assert (box.count, box.size) == (1, pytest.approx(2 * GAL))
