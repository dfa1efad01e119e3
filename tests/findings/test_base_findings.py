"""Checks on bases, wind, burial and stands: each fires, keeps silent, and its way out passes."""

from dataclasses import replace

import pytest

from eavewell.faults import OutOfRange
from eavewell.findings.base import bases_bear
from eavewell.site.base import Base, Burial
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import Box, HorizontalCylinder, UprightCylinder
from eavewell.structure.screening import carry
from eavewell.structure.stand import stand_of
from eavewell.structure.uplift import uplift
from eavewell.structure.wind import wind_on
from eavewell.units import read

ROUND = UprightCylinder(2.0, 2.0)
GOOD = Tank(
    "tank",
    shape=ROUND,
    base_m=0.0,
    empty_kg=150.0,
    anchored=True,
    stands_on=Base("crushed rock", edge_m=0.7, soil="sand", thick_m=0.1),
)
BURIED = Tank(
    "cistern",
    shape=ROUND,
    base_m=-2.5,
    empty_kg=300.0,
    burial=Burial(cover_m=0.5, groundwater_m=-3.0, rated=True),
)


def found(making, tank):
    site = making.site(tanks=(tank,))
    return list(bases_bear(site, carry(site)))


def codes(making, tank):
    return {one.code for one in found(making, tank)}


def test_all_is_well(making):
    assert codes(making, GOOD) == set()
    assert codes(making, BURIED) == set()


@pytest.mark.parametrize("soil", ["mud", "organic soil", "unprepared fill"])
def test_soil_that_bears_nothing(making, soil):
    soft = replace(GOOD, stands_on=replace(GOOD.stands_on, soil=soil))
    (finding,) = found(making, soft)
    assert (finding.code, finding.level) == ("soil-bears-nothing", "stop")
    assert "Screening, not design approval" in finding.says


def test_blocks_under_a_full_tank_and_a_larger_base(making):
    blocks = Base("blocks", blocks=4, block_m2=0.08, soil="clay")
    (finding,) = found(making, replace(GOOD, stands_on=blocks))
    assert (finding.code, finding.level) == ("soil-overloaded", "stop")
    # 6,283 L and 150 kg on 0.32 m2: 197 kPa against 71.8
    assert finding.measured == pytest.approx((6283.2 + 150) * 9.80665 / 0.32 / 1000, rel=1e-3)
    needed_m2 = 0.32 * finding.measured / finding.limit
    wide = replace(blocks, blocks=0, area_m2=needed_m2 * 1.001)
    assert "soil-overloaded" not in codes(making, replace(GOOD, stands_on=wide))


@pytest.mark.parametrize(("kind", "kg_m3"), [("slab", 2400.0), ("crushed rock", 1700.0)])
def test_a_wider_base_weighs_more_and_still_passes(making, kind, kg_m3):
    small = replace(GOOD, stands_on=Base(kind, area_m2=0.3, soil="clay", thick_m=0.3))
    (finding,) = found(making, small)
    assert finding.code == "soil-overloaded"
    # (6,283 + 150) kg x g = (71.8 kPa - g x 0.3 m x kg/m3) A
    needed_m2 = (6283.19 + 150) * 9.80665 / (71800.0 - 9.80665 * 0.3 * kg_m3)
    asked_m2 = read(finding.fix.removeprefix("a base that carries it on "), "area")
    assert needed_m2 <= asked_m2 < 1.1 * needed_m2
    wide = replace(small.stands_on, area_m2=needed_m2 * 1.0001)
    assert codes(making, replace(GOOD, stands_on=wide)) == set()
    deep = replace(small.stands_on, thick_m=5.0)
    (heavy,) = found(making, replace(GOOD, stands_on=deep))
    assert "thinner" in heavy.fix


def test_a_base_that_ends_at_the_wall(making):
    short = replace(GOOD, stands_on=replace(GOOD.stands_on, edge_m=0.1))
    (finding,) = found(making, short)
    assert finding.code == "base-edge-short"
    assert finding.limit == pytest.approx(0.61, abs=0.001)
    mended = replace(GOOD, stands_on=replace(GOOD.stands_on, edge_m=finding.limit))
    assert codes(making, mended) == set()


def test_a_light_empty_tank_in_wind(making):
    loose = replace(GOOD, anchored=False)
    (finding,) = found(making, loose)
    assert finding.code == "empty-tank-tips"
    # 2/3 x 150 x 9.80665 x 1 m over 2 x 2 x 1 m2, then V = sqrt(p / 0.6126)
    pressure = 2 / 3 * 150 * 9.80665 * 1 / (2 * 2 * 1)
    assert finding.measured == pytest.approx((pressure / 0.6126) ** 0.5, rel=1e-3)
    assert codes(making, replace(loose, anchored=True)) == set()
    assert codes(making, replace(loose, empty_kg=5000.0)) == set()


@pytest.mark.parametrize(
    ("shape", "width", "face", "height"),
    [
        (Box(3.0, 1.0, 2.0), 1.0, 3.0, 2.0),
        (Box(1.0, 3.0, 2.0), 1.0, 3.0, 2.0),
        (HorizontalCylinder(1.2, 3.0), 1.2, 3.0, 1.2),
    ],
)
def test_wind_meets_the_long_side_of_a_tank_that_is_not_round(shape, width, face, height):
    wind = wind_on(replace(GOOD, shape=shape, empty_kg=200.0))
    # 2/3 W D / 2 = p face height x height / 2, V = sqrt(p / 0.6126)
    pressure = 2 / 3 * 200 * 9.80665 * width / 2 / (face * height * height / 2)
    assert wind.tips_m_s == pytest.approx((pressure / 0.6126) ** 0.5, rel=1e-3)


def test_walls_of_a_concrete_tank_displace_water_as_well():
    wet = replace(BURIED, empty_kg=4800.0, burial=Burial(cover_m=0.0, groundwater_m=0.0))
    thin = uplift(replace(wet, material="polyethylene"))
    thick = uplift(replace(wet, material="concrete"))
    assert thin.lifts_kg == pytest.approx(6283.2, rel=1e-4)
    # 4,800 kg at 2,400 kg/m3 are 2 m3
    assert thick.lifts_kg == pytest.approx(6283.2 + 2000.0, rel=1e-4)
    half = replace(wet, material="concrete", burial=Burial(groundwater_m=-1.5))
    assert uplift(half).lifts_kg == pytest.approx((6283.2 + 2000.0) / 2, rel=1e-4)


def test_a_buried_tank_that_floats_and_the_weight_that_holds_it(making):
    wet = replace(BURIED, burial=replace(BURIED.burial, groundwater_m=0.0))
    (finding,) = found(making, wet)
    assert (finding.code, finding.level) == ("tank-floats", "stop")
    # displaced 6,283 kg; held 300 + 3.1416 m2 x 0.5 m x 602; wanted 1.2 times
    displaced, held = 6283.2, 300 + 3.14159 * 0.5 * 602
    assert finding.measured == pytest.approx(held / displaced, rel=1e-3)
    more = 1.2 * displaced - held
    tied = replace(wet, burial=replace(wet.burial, anchor_kg=more + 1))
    assert codes(making, tied) == set()


@pytest.mark.parametrize("rated", [None, False])
def test_a_tank_not_rated_for_burial(making, rated):
    crushed = replace(BURIED, burial=replace(BURIED.burial, rated=rated))
    (finding,) = found(making, crushed)
    assert (finding.code, finding.level) == ("burial-not-rated", "stop")
    assert "do not bury" in finding.fix


def test_unknown_groundwater_is_not_checked(making):
    dry = replace(BURIED, burial=replace(BURIED.burial, groundwater_m=None))
    (finding,) = found(making, dry)
    assert (finding.code, finding.level) == ("base-not-checked", "note")
    assert "highest groundwater" in finding.says


def test_a_barrel_that_a_child_tips(making):
    barrel = Tank(
        "barrel",
        shape=UprightCylinder(0.56, 0.85),
        empty_kg=9.0,
        anchored=True,
        stands_on=Base(
            "blocks", height_m=0.4, blocks=8, block_m2=0.08, soil="clay", width_m=0.6, tied=False
        ),
    )
    (finding,) = found(making, barrel)
    assert finding.code == "stand-tips"
    # empty, on a stand wider than itself: 9 kg x 0.28 m over 22.7 kg x 0.3 m
    assert finding.measured == pytest.approx(9 * 0.28 / (22.7 * 0.3), rel=1e-3)
    tied = replace(barrel, stands_on=replace(barrel.stands_on, tied=True))
    assert codes(making, tied) == set()
    unknown = replace(barrel, stands_on=replace(barrel.stands_on, width_m=None))
    assert codes(making, unknown) == {"base-not-checked"}


def test_a_stand_wider_than_its_barrel_does_not_hold_the_barrel():
    base = Base("blocks", height_m=0.4, soil="clay")
    barrel = replace(GOOD, shape=UprightCylinder(0.56, 0.85), empty_kg=9.0)
    margins = [
        stand_of(replace(barrel, stands_on=replace(base, width_m=width_m)))
        for width_m in (0.3, 0.56, 1.0, 3.0)
    ]
    narrow, even, *wide = (margin.margin_empty for margin in margins)
    # it turns over its own edge: 9 kg x 0.28 m over 22.7 kg x 0.3 m
    assert even == pytest.approx(9 * 0.28 / (22.7 * 0.3), rel=1e-3)
    assert wide == [even, even]
    assert narrow < even


def test_what_often_asks_for_a_permit(making):
    tall = replace(GOOD, shape=UprightCylinder(1.0, 2.5))
    assert "permit-often-asked" in codes(making, tall)
    large = replace(GOOD, shape=UprightCylinder(4.0, 2.0))
    assert "permit-often-asked" in codes(making, large)


def test_a_sand_base_under_a_liner(making):
    sand = replace(
        GOOD, material="lined steel", stands_on=replace(GOOD.stands_on, kind="sand with edging")
    )
    (finding,) = found(making, sand)
    assert finding.code == "sand-base"
    assert "treated timber" in finding.says


def test_what_is_not_described_is_said_once(making):
    (finding,) = found(making, replace(GOOD, stands_on=None))
    assert "what it stands on" in finding.says
    no_soil = replace(GOOD, stands_on=replace(GOOD.stands_on, soil=""))
    assert codes(making, no_soil) == {"base-not-checked"}


def test_a_soil_or_base_that_is_not_known_is_refused(making):
    for base in (Base("jelly"), Base("slab", soil="cheese")):
        with pytest.raises(OutOfRange):
            found(making, replace(GOOD, stands_on=base))
