import numpy as np
import pytest

from eavewell.catchment.runoff import roof_water, runoff_mm
from eavewell.catchment.wet_runs import taken_per_wet_run_mm
from eavewell.faults import BadSite
from eavewell.site.first_flush import FirstFlush
from eavewell.site.roof import Plane, Roof, Snow
from eavewell.site.screen import Screen
from eavewell.tables import table

# Painted steel in the tables: 0.3 mm to wet it, 0.9 kept; low 0.6 and 0.8; high 0.1 and 0.95.


def roof(**more):
    return Roof("house", (Plane("north", 60.0), Plane("south", 40.0)), "painted steel", **more)


def mm(*depths):
    return np.array(depths, dtype=float)


def test_a_roof_is_wetted_once_in_each_wet_run():
    # 0.2 of the 0.3 mm on day 1, the rest on day 2, all dry on day 3, wetted again on day 4.
    water = roof_water(roof(), mm(0.2, 1.1, 0.0, 2.3, 5.0))
    assert water.initial_mm == pytest.approx([0.2, 0.1, 0.0, 0.3, 0.0])
    assert water.runoff_mm == pytest.approx([0.0, 0.9, 0.0, 1.8, 4.5])


@pytest.mark.parametrize(("band", "kept_mm"), [("low", 7.52), ("value", 8.73), ("high", 9.405)])
def test_the_band_reads_the_low_and_the_high_of_the_tables(band, kept_mm):
    # (10 - 0.6) x 0.8; (10 - 0.3) x 0.9; (10 - 0.1) x 0.95.
    assert runoff_mm(roof(), mm(10.0), band=band) == pytest.approx([kept_mm])


def test_screens_follow_one_another():
    screens = (Screen("leaf head", 0.9), Screen("filter", 0.5))
    assert runoff_mm(roof(screens=screens), mm(10.3)) == pytest.approx([10.0 * 0.9 * 0.9 * 0.5])


def test_a_first_flush_keeps_what_it_has_until_it_drains():
    # 9 mm by 100 m2 reach it for 10.3 mm of rain. Its 1,000 L are 10 mm.
    # Day 1 takes 9; two dry days do not empty it; day 4 takes the last 1; three dry days do.
    flush = FirstFlush(volume_l=1000.0, reset_dry_days=3)
    rain_mm = mm(10.3, 0, 0, 10.3, 0, 0, 0, 10.3)
    water = roof_water(roof(first_flush=flush), rain_mm)
    assert water.first_flush_mm == pytest.approx([9, 0, 0, 1, 0, 0, 0, 9])
    assert water.runoff_mm == pytest.approx([0, 0, 0, 8, 0, 0, 0, 0])


def test_a_depth_and_its_volume_are_the_same_first_flush():
    rain_mm = mm(3.0, 0, 0, 0, 12.0)
    by_depth, by_volume = (
        runoff_mm(roof(first_flush=flush), rain_mm)
        for flush in (FirstFlush(depth_mm=0.5), FirstFlush(volume_l=50.0))
    )
    assert by_depth == pytest.approx(by_volume)


def test_a_bleed_loses_its_flow_for_the_hours_of_rain():
    # 9 mm at 2 mm/h is 4.5 h; 20 L/h by 100 m2 is 0.2 mm/h: 0.9 mm. Never more than 24 h.
    flush = FirstFlush(depth_mm=0.0, bleed_l_h=20.0)
    water = roof_water(roof(first_flush=flush), mm(10.3, 300.0))
    assert water.first_flush_mm == pytest.approx([0.9, 24 * 0.2])


def test_melt_brings_its_catch_share_and_drained_months_nothing():
    snow = Snow(0.4, 0.0, 0.8, drained_months=frozenset({1}))
    rain_mm, melt_mm = mm(10.0, 10.0, 10.0), mm(10.0, 10.0, 0.0)
    water = roof_water(roof(snow=snow), rain_mm, melt_mm=melt_mm, months=np.array([1, 3, 3]))
    assert water.not_caught_mm == pytest.approx([10.0, 6.0, 0.0])
    assert water.runoff_mm == pytest.approx([0.0, (4.0 - 0.3) * 0.9, 9.0])


def test_gutter_spill_is_taken_before_the_screens():
    water = roof_water(
        roof(screens=(Screen("filter", 0.5),)), mm(10.3, 1.3), gutter_spill_mm=mm(4.0, 50.0)
    )
    assert water.gutter_spill_mm == pytest.approx([4.0, 1.17])
    assert water.runoff_mm == pytest.approx([2.5, 0.0])


def test_no_days_give_no_water():
    assert runoff_mm(roof(first_flush=FirstFlush(depth_mm=1.0)), mm()).size == 0


def test_a_chamber_that_empties_every_night():
    taken = taken_per_wet_run_mm(mm(3, 1, 5), 2.0, reset_dry_days=0)
    assert taken == pytest.approx([2, 1, 2])


@pytest.mark.parametrize(
    ("faulty", "says"),
    [
        (Roof("barn", (Plane("all", 10.0),), "straw"), "'straw' is not known.*painted steel"),
        (roof(first_flush=FirstFlush()), "a depth or a volume"),
        (roof(first_flush=FirstFlush(depth_mm=1.0, volume_l=1.0)), "a depth or a volume"),
        (roof(snow=Snow(0.5, 0.0, 0.8, frozenset({1}))), "month is needed"),
        (Roof("bare", (), "metal", first_flush=FirstFlush(volume_l=1.0)), "plan area"),
    ],
)
def test_a_roof_that_cannot_be_is_refused(faulty, says):
    with pytest.raises(BadSite, match=says):
        runoff_mm(faulty, mm(1.0))


def test_every_finish_has_a_wetting_loss():
    assert set(table("runoff")) == set(table("initial_loss"))
