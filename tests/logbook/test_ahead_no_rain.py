"""Days without rain, cuts and stated water against arithmetic; all sites are invented."""

from datetime import date

import pytest

from eavewell.logbook.ahead.no_rain import Brought, cuts, last_day, no_rain
from eavewell.logbook.ahead.supply import supplies
from eavewell.site.lift import Lift
from eavewell.site.reserve import RationStage, Reserve

GALLON_L = 3.785411784


def supply(site, **l_day):
    (one,) = supplies(site, l_day)
    return one


def test_16_500_gallons_at_34_a_day_are_485_days(making):
    """Common practice, no source: 16,500 gal at 34 gal a day is 485 days."""
    site = making.site(tanks=(making.tank(16_500 * GALLON_L),))
    one = supply(site, house=34 * GALLON_L)
    found = no_rain(one, 16_500 * GALLON_L)
    assert found.rationed_days == found.plain_days == pytest.approx(16_500 / 34)
    assert int(found.plain_days) == 485
    # 1 March 2026 + 485 days: 306 to the end of the year (with 1 March), 179 days into 2027.
    assert last_day(date(2026, 3, 1), found.plain_days) == date(2027, 6, 29)


def test_stages_and_the_fire_reserve(making):
    """1,000 L down to 200: 500 at 10 L/day, then 300 at 5 L/day: 50 + 60 days; plain 80."""
    stage = RationStage(Reserve(volume_l=500.0), 0.5)
    site = making.site(
        tanks=(making.tank(1_000.0, fire_reserve=Reserve(volume_l=200.0)),),
        uses=(making.use(stages=(stage,)),),
    )
    found = no_rain(supply(site, house=10.0), 1_000.0)
    assert found.rationed_days == pytest.approx(110.0)
    assert found.plain_days == pytest.approx(80.0)
    assert no_rain(supply(site, house=10.0), 150.0).plain_days == 0.0


def test_cutting_each_use(making):
    """900 L at 6 + 3 L/day is 100 days; at 3 + 3 it is 150, without the garden's 3 also 150."""
    uses = (making.use(name="house"), making.use(name="garden", priority=2))
    site = making.site(tanks=(making.tank(1_000.0),), uses=uses)
    house, garden = sorted(cuts(supply(site, house=6.0, garden=3.0), 900.0), key=by_name)[::-1]
    assert (house.use, house.without_days) == ("house", None)
    assert house.half_days == pytest.approx(50.0)
    assert (garden.use, garden.without_days) == ("garden", pytest.approx(50.0))
    assert garden.half_days == pytest.approx(900 / 7.5 - 100)


def by_name(cut):
    return cut.use


def test_a_use_that_stops_early_gains_less(making):
    """500 L at 10 L/day and 400 at 6: 116.67 days; without the garden 900 at 6: 150."""
    uses = (
        making.use(name="house"),
        making.use(name="garden", priority=2, reserve=Reserve(volume_l=400.0)),
    )
    site = making.site(tanks=(making.tank(1_000.0),), uses=uses)
    found = {one.use: one for one in cuts(supply(site, house=6.0, garden=4.0), 900.0)}
    assert found["garden"].without_days == pytest.approx(900 / 6 - (50 + 400 / 6))


def test_drinking_comes_before_the_garden_where_no_priority_is_stated(making):
    """The garden's reserve does not end the water: 900 L, 10 L/day down to 400, then 6."""
    uses = (
        making.use(name="garden", end_use="outdoor", reserve=Reserve(volume_l=400.0)),
        making.use(name="house", end_use="drinking"),
    )
    site = making.site(tanks=(making.tank(1_000.0),), uses=uses)
    one = supply(site, house=6.0, garden=4.0)
    assert one.first == ("house",)
    assert no_rain(one, 900.0).plain_days == pytest.approx(50 + 400 / 6)


def test_a_load_counts_from_its_day_and_only_what_fits(making):
    """900 L at 10 a day; on day 30 there are 600, and 700 more fill it to 1,000: 130 days."""
    site = making.site(tanks=(making.tank(1_000.0),))
    one = supply(site, house=10.0)
    assert no_rain(one, 900.0, brought=(Brought(30, 700.0),)).plain_days == pytest.approx(130.0)
    assert no_rain(one, 900.0, brought=(Brought(30, 100.0),)).plain_days == pytest.approx(100.0)
    # It runs dry after 90 days: what comes on day 95 is too late to count as lasting.
    assert no_rain(one, 900.0, brought=(Brought(95, 100.0),)).plain_days == pytest.approx(90.0)


def test_stated_water_passes_a_stage_on_its_way(making):
    """1,000 L at 10, below 500 at 5: day 60 finds 500 - 10 x 5 = 450, with 100 it is 550.

    Then 5 days at 10 and 100 at 5: 60 + 5 + 100.
    """
    stage = RationStage(Reserve(volume_l=500.0), 0.5)
    site = making.site(tanks=(making.tank(2_000.0),), uses=(making.use(stages=(stage,)),))
    found = no_rain(supply(site, house=10.0), 1_000.0, brought=(Brought(60, 100.0),))
    assert found.rationed_days == pytest.approx(165.0)


def test_water_on_a_hill_and_in_the_tank_that_fills_it(making):
    """The house lives on the hill tank, which a lift fills from below down to 30 L there.

    90 + 100 L above the stops at 2 + 1 L/day; the garden's header tank is not counted, and what
    fills it is drawn from below.
    """
    tanks = tuple(making.tank(100.0, name=name) for name in ("hill", "low", "header"))
    uses = (
        making.use(name="house", draws_from=("hill",)),
        making.use(name="garden", draws_from=("header",), priority=2),
    )
    lifts = (
        Lift("up", "low", "hill", source_stop_l=30.0),
        Lift("top-up", "low", "header", source_stop_l=30.0),
    )
    site = making.site(tanks=tanks, uses=uses, lifts=lifts)
    one = supply(site, house=2.0, garden=1.0)
    assert one.tanks == ("hill", "low")
    assert one.floor_l == 30.0
    assert no_rain(one, 90.0 + 100.0).plain_days == pytest.approx((190.0 - 30.0) / 3.0)


def test_two_systems_that_share_nothing_are_two_supplies(making):
    tanks = tuple(making.tank(100.0, name=name) for name in ("main", "barn"))
    uses = (
        making.use(name="house", draws_from=("main",)),
        making.use(name="stock", draws_from=("barn",)),
    )
    site = making.site(tanks=tanks, uses=uses)
    assert [one.tanks for one in supplies(site, {"house": 1.0, "stock": 1.0})] == [
        ("main",),
        ("barn",),
    ]
