"""Triggers: just at the size, just above it, and where something is unknown. By hand."""

from dataclasses import replace
from math import pi

import pytest

from eavewell.rules.triggers import height_over_width, triggers_met
from eavewell.site.base import Burial
from eavewell.site.lift import Lift
from eavewell.site.money import Money, Rebate
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import (
    Box,
    ConeBottom,
    HorizontalCylinder,
    StrappingTable,
    UprightCylinder,
)


@pytest.fixture
def met(by_hand):
    def one(site, measure, **fields):
        (found,) = triggers_met(site, by_hand.rules(triggers=(by_hand.trigger(measure, **fields),)))
        return found

    return one


@pytest.mark.parametrize(("each_l", "is_met"), [(999.0, False), (1000.0, False), (1001.0, True)])
def test_the_size_itself_triggers_nothing(making, met, each_l, is_met):
    """'Up to 1,000 L without a permit': 1,000 L is without, a litre more is not."""
    found = met(making.site(tanks=(making.tank(each_l),)), "tank volume", above=1000.0)
    assert found.is_met is is_met
    assert found.things == (("tank 'tank'",) if is_met else ())
    assert found.measured == each_l


def test_a_size_read_as_gallons_is_the_same_size_reckoned(making, met, by_hand):
    """A cylinder that holds 5,000 gal to the last figure stays at 5,000 gal."""
    volume_m3 = 5000.0 * by_hand.GALLON_L / 1000.0
    shape = UprightCylinder((4.0 * volume_m3 / (pi * 2.0)) ** 0.5, 2.0)
    tank = Tank("tank", shape=shape)
    found = met(making.site(tanks=(tank,)), "tank volume", above=5000.0 * by_hand.GALLON_L)
    assert found.is_met is False


def test_one_tank_of_a_row_counts_by_itself_and_all_count_together(making, met):
    """Four tanks of 400 L: none above 1,000 L, 1,600 L together."""
    site = making.site(tanks=(making.tank(400.0, count=4),))
    assert met(site, "tank volume", above=1000.0).is_met is False
    total = met(site, "total volume", above=1000.0)
    assert total.is_met
    assert total.measured == 1600.0
    assert total.things == ("all tanks together",)


def test_a_tank_of_unknown_size_leaves_the_total_open(making, met):
    site = making.site(tanks=(making.tank(400.0), Tank("bought used")))
    found = met(site, "total volume", above=1000.0)
    assert found.is_met is None
    assert found.unknown == ("tank 'bought used'",)
    assert met(site, "total volume", above=300.0).is_met is True


def test_a_sump_is_no_tank(making, met):
    sump = making.tank(5000.0, name="sump", is_sump=True)
    site = making.site(tanks=(making.tank(100.0), sump))
    assert met(site, "tank volume", above=1000.0).is_met is False
    assert met(site, "total volume", above=1000.0).measured == 100.0


@pytest.mark.parametrize(
    ("shape", "ratio"),
    [
        (UprightCylinder(1.0, 2.5), 2.5),
        (Box(2.0, 0.5, 1.5), 3.0),
        (HorizontalCylinder(1.0, 4.0), 1.0),
        (HorizontalCylinder(2.0, 0.5), 4.0),
        (ConeBottom(2.0, 0.5, 3.0), 1.5),
        (StrappingTable((0.0, 1.0), (0.0, 9.0)), None),
    ],
)
def test_height_over_the_least_width(shape, ratio):
    assert height_over_width(shape) == ratio


def test_a_slender_tank_and_one_of_unknown_shape(making, met):
    slender = Tank("slender", shape=UprightCylinder(1.0, 2.5))
    squat = Tank("squat", shape=UprightCylinder(2.0, 2.0))
    unknown = making.tank(500.0, name="unknown")
    site = making.site(tanks=(squat, unknown))
    found = met(site, "height over width", above=2.0)
    assert found.is_met is None
    assert found.unknown == ("tank 'unknown'",)
    found = met(replace(site, tanks=(squat, unknown, slender)), "height over width", above=2.0)
    assert found.is_met is True
    assert found.things == ("tank 'slender'",)
    buried = replace(slender, burial=Burial())
    assert met(replace(site, tanks=(buried,)), "height over width", above=2.0).is_met is False


def test_classes_and_cases_of_use(making, met):
    garden = making.use(end_use="outdoor", name="garden")
    site = making.site(uses=(garden,))
    assert met(site, "end use", end_use="indoor").is_met is False
    assert met(site, "end use", end_use="outdoor").things == ("use 'garden'",)
    assert met(site, "end use", end_use="spray").is_met is None
    told = replace(site, uses=(replace(garden, spray=False),))
    assert met(told, "end use", end_use="spray").is_met is False
    sprays = replace(site, uses=(replace(garden, spray=True),))
    assert met(sprays, "end use", end_use="spray").is_met is True


def test_mains_make_up_however_it_is_told(making, met):
    site = making.site()
    assert met(site, "mains make-up").is_met is False
    assert met(replace(site, lifts=(Lift("m", "mains", "tank"),)), "mains make-up").is_met
    backed = making.site(uses=(making.use(fallback="mains"),))
    assert met(backed, "mains make-up").things == ("use 'house'",)


def test_a_rebate(making, met):
    site = making.site()
    assert met(site, "rebate").is_met is False
    paid = replace(site, money=Money(rebates=(Rebate("valley", 500.0, None),)))
    assert met(paid, "rebate").things == ("rebate 'valley'",)
