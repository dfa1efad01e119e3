"""Storm-water by hand: room before storms, a storm kept, a low spot relieved."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from eavewell.design import design
from eavewell.findings.ground import ground_kept
from eavewell.site.beside import Beside
from eavewell.site.first_flush import FirstFlush
from eavewell.site.ground import Ground, LowSpot
from eavewell.site.storm_table import StormTable
from eavewell.stormwater.curve_number import runoff_mm_tr55
from eavewell.stormwater.room import room_before_storms, storm_starts

GAL = 3.785411784


def storms(day_mm=50.8):
    """Invented: the same depth for every return period but a little, in a day."""
    depth = np.array([[20.0, 20.5, 21.0], [day_mm, day_mm * 1.2, day_mm * 1.5]])
    return StormTable("made up", "invented", (5.0, 1440.0), (1.0, 2.0, 10.0), depth)


GROUND = Ground(
    area_m2=1000.0,
    cover="lawn",
    soil_group="B",
    minutes=10.0,
    low_spots=(LowSpot("by the door", 20.0, 5.0, ("roof",)),),
)


@pytest.fixture(scope="module")
def made(making):
    record = making.record(making.every_tenth_day(3650, 10.0), latitude=30.0, longitude=-98.0)

    def build(table=None, **fields):
        fields = {"ground": GROUND} | fields
        site = making.site(**fields)
        beside = Beside(storms=table or storms())
        return design(site, record, beside=beside, today=date(2011, 1, 1))

    return build


def test_a_storm_begins_after_a_dry_day():
    rain = np.array([0, 5, 5, 0, 1, 0, 9, 0, 0, 3.0])
    # day 1 begins one; day 2 goes on; day 4 is too small; days 6 and 9 begin
    assert storm_starts(rain).tolist() == [1, 6, 9]


def test_room_is_that_of_the_evening_before():
    rain = np.tile([0.0, 10.0], 50)
    level = np.tile([30.0, 90.0], 50)
    dates = np.datetime64("2001-01-01") + np.arange(100)
    whole, *quarters = room_before_storms(level, 100.0, rain_mm=rain, dates=dates)
    # every storm falls on an odd day; the evening before holds 30 of 100
    assert (whole.when, whole.storms) == ("year", 50)
    assert whole.mean_l == whole.tenth_l == 70.0
    assert {one.when for one in quarters} == {"Dec-Feb", "Mar-May"}


@pytest.mark.parametrize(
    ("rain_in", "yielded", "room_gal", "kept"),
    # 2,000 ft2; COMPUTED: 2 in at 0.95 is 2,369 gal, of which 1,000 gal are 42.2 %
    [(2.0, 0.95, 1000.0, 0.422), (1.0, 0.90, 1200.0, 1.0), (1.0, 0.90, 561.0, 0.5)],
)
def test_an_empty_tank_keeps_a_share(made, making, rain_in, yielded, room_gal, kept):
    # a use that empties the tank every day; metal yields 0.90, so the area is drawn to match
    roof = making.roof(2000 * 0.3048**2 * yielded / 0.90)
    found = made(
        storms(rain_in * 25.4),
        roofs=(roof,),
        tanks=(making.tank(room_gal * GAL),),
        uses=(making.use(1e5),),
        goals=(),
    )
    event = next(one for one in found.stormwater.events if one.years == 1)
    assert event.kept_tenth_share == pytest.approx(kept, abs=0.001)
    assert event.kept_mean_share == pytest.approx(kept, abs=0.001)


def test_first_flush_stays_outside(made, making):
    roof = replace(making.roof(), first_flush=FirstFlush(depth_mm=2.0))
    plain, flushed = made(), made(roofs=(roof,))
    before, after = plain.stormwater.year, flushed.stormwater.year
    assert after.with_roof_l == pytest.approx(before.with_roof_l)
    # an event every tenth day: 2 mm of 10 m2 are led away 36.525 times a year
    spilled = [one.drawn.reliability.spilled_l_year for one in (plain, flushed)]
    more_l = 2.0 * 10.0 * 36.525 + spilled[1] - spilled[0]
    assert after.caught_l - before.caught_l == pytest.approx(more_l, rel=1e-3)


def test_volumes_of_a_storm(made):
    found = made().stormwater
    event = next(one for one in found.events if one.years == 1)
    depth = 50.8
    lawn = float(runoff_mm_tr55(depth, 61))
    roof_l = 10 * depth * 0.90  # metal sheds 90 %
    assert event.rain_mm == pytest.approx(depth)
    assert event.roof_l == pytest.approx(roof_l)
    assert event.volumes.ground_l == pytest.approx(1000 * lawn)
    assert event.volumes.with_roof_l == pytest.approx(990 * lawn + roof_l)
    kept = event.kept_tenth_share * roof_l
    assert event.volumes.caught_l == pytest.approx(990 * lawn + roof_l - kept)
    assert 0 <= event.kept_tenth_share <= event.kept_mean_share <= 1


def test_the_year_counts_what_the_tank_spills(made):
    found = made()
    year, balance = found.stormwater.year, found.drawn.reliability
    # the only roof is caught: ground and spill are left
    assert year.with_roof_l - year.caught_l == pytest.approx(
        balance.inflow_l_year - balance.spilled_l_year, rel=1e-6
    )
    assert year.ground_l < year.with_roof_l


def test_a_low_spot_without_its_roof(made):
    found = made().stormwater
    (spot,) = found.spots
    # 2-year day: 50.8 x 1.2 = 60.96 mm; its own rain and 10 m2 of roof at 0.90
    rain = 60.96
    assert spot.before_l == pytest.approx(rain * 20 + rain * 10 * 0.90)
    assert spot.after_l == pytest.approx(rain * 20)
    assert spot.soak_after_h == pytest.approx(rain / 5.0)


def test_draw_down_by_the_mean_use(made):
    # 200 L at 8 L a day
    assert made().stormwater.draw_down_days == pytest.approx(25.0)


def test_a_part_held_open_costs_supply(made):
    held = made().stormwater.held_open
    assert held.share == 0.3
    assert held.room_tenth_l >= 0.3 * 200 - 1e-9
    assert held.lost_l_year >= 0.0


def test_an_overflow_led_to_a_low_spot_comes_back_to_it(made, making):
    away = made().stormwater
    tank = making.tank(overflow_to="by the door")
    back = made(tanks=(tank,), uses=(making.use(0.5),)).stormwater
    event = next(one for one in back.events if one.years == 2)
    (before,), (after,) = away.spots, back.spots
    # 60.96 mm on the spot's own 20 m2, and what the roof of 10 m2 brings that finds no room
    spilled_l = (1.0 - event.kept_tenth_share) * event.roof_l
    assert spilled_l > 0.0
    assert before.after_l == pytest.approx(60.96 * 20.0)
    assert after.after_l == pytest.approx(60.96 * 20.0 + spilled_l)
    by_another = (replace(tank, overflow_to="second"), making.tank(name="second"))
    led = (by_another[0], replace(by_another[1], overflow_to="by the door"))
    assert made(tanks=led).stormwater.spots[0].after_l >= before.after_l
    assert made(tanks=by_another).stormwater.spots[0].after_l == pytest.approx(before.after_l)


def test_what_is_unknown_is_named_and_left_out(made):
    found = made(ground=Ground(low_spots=(LowSpot("spot", 10.0),))).stormwater
    assert found.year.ground_l is None
    assert found.peak_ground_l_s is None
    assert "area of the drained ground" in found.unknown
    assert "infiltration at 'spot'" in found.unknown


def test_the_peak_with_roofs_is_higher(made):
    found = made().stormwater
    assert found.peak_roof_l_s > found.peak_ground_l_s > 0
    bare = replace(GROUND, minutes=None)
    assert made(ground=bare).stormwater.peak_roof_l_s is None


@pytest.mark.parametrize(
    ("cover", "soil", "known"),
    [("pasture", "D", True), ("paved", "", True), ("pasture", "", False), ("woods", "B", False)],
)
def test_a_peak_only_of_known_ground(made, cover, soil, known):
    peak = made(ground=replace(GROUND, cover=cover, soil_group=soil)).stormwater.peak_ground_l_s
    assert (peak is not None) is known


def test_a_storm_outside_the_table_is_named(made):
    depth = np.array([[20.5, 21.0], [60.0, 75.0]])
    table = StormTable("made up", "invented", (5.0, 1440.0), (2.0, 10.0), depth)
    found = made(table).stormwater
    assert [one.years for one in found.events] == [2, 10]
    assert found.unknown == ("1-year 24-hour storm",)


def test_the_way_out_of_standing_water_passes(made):
    slow = replace(GROUND, low_spots=(LowSpot("by the door", 20.0, 1.0, ("roof",)),))
    found = made(ground=slow)
    (finding,) = standing(found)
    assert finding.measured == pytest.approx(60.96)
    # 60.96 mm (2.4 in) within 48 h
    assert finding.fix.startswith("ground that takes 0.05 in/h")
    drained = replace(GROUND, low_spots=(LowSpot("by the door", 20.0, 0.05 * 25.4, ("roof",)),))
    assert standing(made(ground=drained)) == []
    sealed = replace(GROUND, low_spots=(LowSpot("by the door", 20.0, 0.0, ("roof",)),))
    (finding,) = standing(made(ground=sealed))
    assert "until it dries up" in finding.says


def standing(found):
    return [one for one in ground_kept(found.site, found.stormwater) if one.code == "water-stands"]


def test_the_way_out_of_seldom_room_passes(made, making):
    found = made(uses=(making.use(0.5),))
    codes = [one.code for one in ground_kept(found.site, found.stormwater)]
    assert "seldom-room-for-storms" in codes
    # a second outlet holds the water of the full tank below the part held open
    held = found.stormwater.held_open
    room = replace(found.stormwater.room_in("year"), tenth_l=held.room_tenth_l)
    opened = replace(found.stormwater, room=(room,))
    codes = [one.code for one in ground_kept(found.site, opened)]
    assert "seldom-room-for-storms" not in codes
