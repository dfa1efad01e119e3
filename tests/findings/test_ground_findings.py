"""Checks on storm-water and storms: each fires, keeps silent, and its way out passes."""

from dataclasses import replace

import pytest

from eavewell.findings.ground import ground_kept
from eavewell.findings.storm import storm_known
from eavewell.site.ground import Ground, LowSpot
from eavewell.site.gutter import Gutter
from eavewell.site.storm import Storm
from eavewell.stormwater.before_after import HeldOpen, Spot, StormWater, Volumes
from eavewell.stormwater.room import Room
from eavewell.weather.design_storm import site_storms

NONE = Volumes(None, None, None)
WET = LowSpot("hollow", 20.0, 1.0, ("roof",))


HELD = HeldOpen(0.3, 600.0, 90.0)


def water(tenth_l=500.0, spots=(), unknown=(), held=HELD):
    room = (Room("year", 40, 800.0, tenth_l),)
    return StormWater(NONE, (), 10, None, None, room, 2000.0, 30.0, held, tuple(spots), unknown)


def spot(after_h):
    return Spot(WET, 900.0, 600.0, 45.0, 30.0, 80.0, after_h)


@pytest.fixture
def site(making):
    return making.site(ground=Ground(area_m2=500.0, low_spots=(WET,)))


def codes(site, found):
    return [one.code for one in ground_kept(site, found)]


def test_credit_is_the_room_that_nine_storms_find(site):
    (finding,) = ground_kept(site, water())
    assert (finding.code, finding.level, finding.measured) == ("storm-water-credit", "note", 500.0)


def test_seldom_room_and_a_part_held_open(site):
    (finding,) = ground_kept(site, water(tenth_l=100.0))
    assert finding.code == "seldom-room-for-storms"
    assert finding.limit == pytest.approx(0.1 * 2000)
    assert "costs the uses" in finding.fix
    assert codes(site, water(tenth_l=600.0)) == ["storm-water-credit"]
    assert "second outlet" in next(ground_kept(site, water(tenth_l=100.0, held=None))).fix


def test_water_that_stands_too_long(site):
    _, finding = ground_kept(site, water(spots=(spot(60.0),)))
    assert (finding.code, finding.measured, finding.limit) == ("water-stands", 60.0, 48.0)
    # 30 mm must soak in within 48 h: 0.625 mm/h
    assert codes(site, water(spots=(spot(30.0 / 0.626),))) == ["storm-water-credit"]
    assert codes(site, water(spots=(spot(None),))) == ["storm-water-credit"]


def test_unknowns_once_and_silence_where_nothing_is_described(site, making):
    assert codes(site, water(unknown=("cover of the ground",)))[0] == "storm-water-not-checked"
    assert codes(making.site(), water(tenth_l=1.0)) == []


def test_storms_by_ratios_where_gutters_hang_on_them(making):
    record = making.record(making.wet_and_dry(30))
    by_record = site_storms(Storm(), record, table=None)
    roof = replace(making.roof(), gutters=(Gutter("g", "half-round", 100.0, 5.0),))
    hung = making.site(roofs=(roof,))
    (finding,) = storm_known(hung, by_record)
    assert finding.code == "storms-by-ratios"
    assert "spans 2." in finding.says
    assert list(storm_known(making.site(), by_record)) == []
    grown = making.site(ground=Ground(area_m2=500.0))
    assert [one.code for one in storm_known(grown, by_record)] == ["storms-by-ratios"]
    by_table = replace(by_record, kind="table")
    assert list(storm_known(hung, by_table)) == []
    short = site_storms(Storm(), making.record(making.wet_and_dry(3)), table=None)
    (unknown,) = storm_known(hung, short)
    assert unknown.code == "storms-unknown"


def test_a_held_open_part_that_is_too_small_is_not_promised(site):
    little = HeldOpen(0.3, 150.0, 10.0)
    finding = next(ground_kept(site, water(tenth_l=100.0, held=little)))
    assert "costs the uses" not in finding.fix
