"""Common practice, no source: small arrangements worked by hand, the arithmetic beside each."""

import pytest

from eavewell.storage.balance import run
from eavewell.storage.lanes import FALLBACK_MAINS, NOWHERE


def _by_day(arranging, **parts):
    balance = run(arranging.arranged(arranging.Parts(**parts)), keep_lane=0)
    return balance, balance.every_day


def test_a_lift_up_and_a_spill_down(arranging):
    """An upper store of 100 L spills to a lower one of 200 L; a lift brings 30 L a day back up.

    Draws of 40 L from the upper store, yield after spillage.
    day 1: upper 0 + 250 = 250, spills 150; lower 150. Room above 0, nothing lifted.
           Morning level was 0: nothing drawn. Upper 100, lower 150.
    day 2: dry. Upper full, nothing lifted; draws 40. Upper 60, lower 150.
    day 3: room 40, limit 30: lifts 30. Upper 90, lower 120; draws 40. Upper 50.
    day 4: rain 200: upper 250 spills 150; lower 120 + 150 = 270 spills 70 away. Upper 100,
           lower 200; no room; morning 50: draws 40. Upper 60.
    day 5: room 40: lifts 30. Upper 90, lower 170; draws 40. Upper 50.
    """
    balance, kept = _by_day(
        arranging,
        stores=[arranging.Store(100.0, spills_to=1), arranging.Store(200.0)],
        roofs=[arranging.Roof([250.0, 0.0, 0.0, 200.0, 0.0])],
        uses=[arranging.Use([40.0] * 5)],
        lifts=[arranging.Lift(1, 0, target_stop_l=100.0, limit_l=30.0)],
    )
    assert kept.level_l.tolist() == [[100, 150], [60, 150], [50, 120], [60, 200], [50, 170]]
    assert kept.spilled_l.tolist() == [[150, 0], [0, 0], [0, 0], [150, 70], [0, 0]]
    assert kept.lifted_l[:, 0].tolist() == [0, 0, 30, 0, 30]
    assert kept.supplied_l[:, 0].tolist() == [0, 40, 40, 40, 40]
    # Only what left the lower store went away; 250 + 200 = 160 + 70 + 220.
    assert balance.away_l[0] == 70
    assert balance.inflow_l[0] == balance.sums.supplied_l[0, 0] + 70 + balance.end_l[:, 0].sum()


def test_before_spillage_a_cascade_spills_in_the_evening(arranging):
    """The same stores, ybs: the draw comes off the 250 L before 110 L spill down.

    day 1: upper 250; draws 40: 210; spills 110. Upper 100, lower 110.
    day 2: draws 40: upper 60, lower 110.
    """
    _, kept = _by_day(
        arranging,
        stores=[arranging.Store(100.0, spills_to=1), arranging.Store(200.0)],
        roofs=[arranging.Roof([250.0, 0.0])],
        uses=[arranging.Use([40.0] * 2)],
        rule="ybs",
    )
    assert kept.level_l.tolist() == [[100, 110], [60, 110]]
    assert kept.spilled_l[:, 0].tolist() == [110, 0]


def test_days_full_rationed_and_short(arranging):
    """Half below 200 L, a tenth below 60 L, by the morning's level; 100 L wanted, 300 L held.

    morning 300: whole want, 100 drawn -> 200 (full)
    morning 200: not below 200, 100 -> 100 (full)
    morning 100: below 200, planned 50 -> 50 (rationed)
    morning  50: below 60, planned 10 -> 40 (rationed)
    morning  40: planned 10 -> 30 (rationed), kept above a reserve of 25
    morning  30: planned 10, only 5 above the reserve -> 25 (short)
    nothing wanted -> 25; the run of short days stands
    morning  25: planned 10, nothing above the reserve -> 25 (short, second in the run)
    """
    balance, kept = _by_day(
        arranging,
        stores=[arranging.Store(1000.0, 300.0)],
        roofs=[arranging.Roof([0.0] * 8)],
        uses=[
            arranging.Use(
                [100.0] * 6 + [0.0, 100.0],
                reserve_l={0: 25.0},
                stages=[(60.0, 0.1), (200.0, 0.5)],
            )
        ],
    )
    assert kept.supplied_l[:, 0] == pytest.approx([100, 100, 50, 10, 10, 5, 0, 0])
    assert kept.planned_l[:, 0] == pytest.approx([100, 100, 50, 10, 10, 10, 0, 10])
    assert kept.level_l[:, 0] == pytest.approx([200, 100, 50, 40, 30, 25, 25, 25])
    assert balance.sums.rationed_days[0, 0] == 3
    assert balance.sums.short_days[0, 0] == 2
    assert balance.sums.longest_short_days[0, 0] == 2
    # Of the seven days on which anything was wanted two were met in full.
    assert balance.met_share[0] == pytest.approx(2 / 7)


def test_a_ration_looks_at_all_stores_a_use_draws_from(arranging):
    """Half below 150 L: 100 L and 60 L together are 160 L, then 60 L and 60 L are 120 L."""
    _, kept = _by_day(
        arranging,
        stores=[arranging.Store(100.0, 100.0), arranging.Store(100.0, 60.0)],
        roofs=[arranging.Roof([0.0, 0.0])],
        uses=[arranging.Use([40.0, 40.0], draws_from=[0, 1], stages=[(150.0, 0.5)])],
    )
    assert kept.supplied_l[:, 0].tolist() == [40, 20]


def test_a_truck_with_a_lead_of_three_days(arranging):
    """Ordered in the evening below 100 L, 200 L come three days later; a use of 50 L a day.

    day 1: 120 -> 70, below 100: ordered, due on day 4.
    day 2: 70 -> 20.  day 3: 20 -> 0, 30 missing.
    day 4: 200 arrive, but the morning held 0: under yas nothing is drawn. 200.
    day 5: 150.  day 6: 100, not below 100.  day 7: 50: ordered, due on day 10.
    day 8: 0.  day 9: 0.  day 10: 200 arrive; new year began on day 9: one load in each year.
    """
    parts = arranging.Parts(
        stores=[arranging.Store(500.0, 120.0)],
        roofs=[arranging.Roof([0.0] * 10)],
        uses=[arranging.Use([50.0] * 10)],
        trucks=[arranging.Truck(0, 200.0, order_below_l=100.0, lead_days=3)],
        new_year=[False] * 8 + [True, False],
    )
    balance = run(arranging.arranged(parts), keep_lane=0)
    kept = balance.every_day
    assert kept.level_l[:, 0].tolist() == [70, 20, 0, 200, 150, 100, 50, 0, 0, 200]
    assert kept.loads[:, 0].tolist() == [0, 0, 0, 1, 0, 0, 0, 0, 0, 1]
    assert balance.hauled_l[0] == 400
    assert balance.sums.worst_year_loads[0, 0] == 1
    # Short on days 3 and 4, met on 5 to 8, short on 9 and 10.
    assert balance.sums.longest_short_days[0, 0] == 2


def test_a_truck_that_came_today_may_be_ordered_again_tonight(arranging):
    """Loads of 10 L, a lead of one day, never enough for 50 L: one comes every day from day 2."""
    _, kept = _by_day(
        arranging,
        stores=[arranging.Store(500.0)],
        roofs=[arranging.Roof([0.0] * 4)],
        uses=[arranging.Use([50.0] * 4)],
        trucks=[arranging.Truck(0, 10.0, order_below_l=100.0, lead_days=1)],
    )
    assert kept.loads[:, 0].tolist() == [0, 1, 1, 1]


def test_a_load_that_meets_a_storm_spills(arranging):
    """Day 2: 0 + 80 hauled + 60 rain = 140 in a store of 100: 40 spill."""
    _, kept = _by_day(
        arranging,
        stores=[arranging.Store(100.0)],
        roofs=[arranging.Roof([0.0, 60.0])],
        uses=[arranging.Use([10.0, 10.0])],
        trucks=[arranging.Truck(0, 80.0, order_below_l=50.0, lead_days=1)],
    )
    assert kept.spilled_l[:, 0].tolist() == [0, 40]
    assert kept.level_l[:, 0].tolist() == [0, 100]


def test_mains_make_up_at_the_tap(arranging):
    """60 L held, 40 L wanted: 40, then 20 and 20 from the mains, then all 40 from the mains.

    The mains gives 0 + 20 + 40 = 60 L; the days it stands in are short of rain all the same.
    """
    balance, kept = _by_day(
        arranging,
        stores=[arranging.Store(100.0, 60.0)],
        roofs=[arranging.Roof([0.0] * 3)],
        uses=[arranging.Use([40.0] * 3, fallback=FALLBACK_MAINS)],
    )
    assert kept.supplied_l[:, 0].tolist() == [40, 20, 0]
    assert balance.sums.make_up_l[0, 0] == 60
    assert balance.sums.short_days[0, 0] == 2


def test_mains_make_up_through_an_air_gap_into_the_store(arranging):
    """The valve opens at 30 L or less, fills to 50 L, passes 15 L a day at most; 25 L wanted.

    day 1: 60 > 30: shut; draws 25 -> 35.  day 2: 35: shut; 10 left.
    day 3: 10: room 40, 15 pass -> 25; the morning held 10: draws 10 -> 15.
    day 4: 15: room 35, 15 pass -> 30; morning 15: draws 15 -> 15.
    """
    balance, kept = _by_day(
        arranging,
        stores=[arranging.Store(100.0, 60.0)],
        roofs=[arranging.Roof([0.0] * 4)],
        uses=[arranging.Use([25.0] * 4)],
        lifts=[arranging.Lift(NOWHERE, 0, 50.0, limit_l=15.0, target_start_l=30.0)],
    )
    assert kept.level_l[:, 0].tolist() == [35, 10, 15, 15]
    assert kept.lifted_l[:, 0].tolist() == [0, 0, 15, 15]
    assert balance.mains_l[0] == 30
    assert balance.error_l[0] == 0


def test_a_header_tank_topped_up_from_the_main_store(arranging):
    """The header (100 L) starts filling at 50 L or less, up to 90 L; the main store gives only
    from 300 L on and down to 250 L. The garden draws 45 L from the header.

    day 1: header 80 > 50: not filled; draws 45 -> 35.
    day 2: header 35: room 55; main 320 may give 70: 55 lifted, header 90, main 265.
           The morning held 35: draws 35 -> 55.
    day 3: header 55 > 50: not filled; draws 45 -> 10.
    day 4: main 265 is below 300: not filled; draws 10 -> 0.
    day 5: 60 L of rain: main 325; room 90, spare 75: 75 lifted, main 250, header 75; the morning
           held 0: nothing drawn.
    """
    _, kept = _by_day(
        arranging,
        stores=[arranging.Store(1000.0, 320.0), arranging.Store(100.0, 80.0, spills_to=0)],
        roofs=[arranging.Roof([0.0, 0.0, 0.0, 0.0, 60.0])],
        uses=[arranging.Use([45.0] * 5, draws_from=[1])],
        lifts=[
            arranging.Lift(
                0, 1, 90.0, source_start_l=300.0, source_stop_l=250.0, target_start_l=50.0
            )
        ],
    )
    assert kept.level_l.tolist() == [[320, 35], [265, 55], [265, 10], [265, 0], [250, 75]]
    assert kept.lifted_l[:, 0].tolist() == [0, 55, 0, 0, 75]
    assert kept.supplied_l[:, 0].tolist() == [45, 35, 45, 10, 0]


@pytest.mark.parametrize("rule", ["yas", "ybs"])
def test_a_reserve_is_never_drawn(arranging, rule):
    """A fire reserve of 70 L binds the garden, not the house that stands after it.

    150 L: the garden takes min(100, 150 - 70) = 80 -> 70; the house takes 30 -> 40.
    40 L: the garden gets nothing; the house 30 -> 10; then 10 -> 0.
    """
    balance, kept = _by_day(
        arranging,
        stores=[arranging.Store(200.0, 150.0)],
        roofs=[arranging.Roof([0.0] * 3)],
        uses=[
            arranging.Use([100.0] * 3, reserve_l={0: 70.0}),
            arranging.Use([30.0] * 3),
        ],
        rule=rule,
    )
    assert kept.supplied_l.tolist() == [[80, 30], [0, 30], [0, 10]]
    assert balance.sums.short_days[:, 0].tolist() == [3, 1]


def test_a_reserve_stands_in_one_store_and_the_next_gives(arranging):
    """100 L with 60 L held back give 40 L; the other 20 L of 60 L come from the second store."""
    _, kept = _by_day(
        arranging,
        stores=[arranging.Store(100.0, 100.0), arranging.Store(100.0, 100.0)],
        roofs=[arranging.Roof([0.0])],
        uses=[arranging.Use([60.0], draws_from=[0, 1], reserve_l={0: 60.0})],
    )
    assert kept.level_l.tolist() == [[60, 80]]


def test_open_water_loses_no_more_than_it_holds(arranging):
    """10 L a day off 25 L: 10, 10, 5, 0; the last day's 4 L of rain go too. 29 L lost in all."""
    balance, kept = _by_day(
        arranging,
        stores=[arranging.Store(100.0, 25.0, loss_l=[10.0] * 5)],
        roofs=[arranging.Roof([0.0, 0.0, 0.0, 0.0, 4.0])],
        uses=[arranging.Use([0.0] * 5)],
    )
    assert kept.lost_l[:, 0].tolist() == [10, 10, 5, 0, 4]
    assert kept.level_l[:, 0].tolist() == [15, 5, 0, 0, 0]
    assert balance.sums.lost_l[0, 0] == 29
    assert balance.supplied_share[0] == 1.0


def test_a_load_is_ordered_only_when_it_fits(arranging):
    """A 100 L store below its order level takes no 150 L load: it runs dry instead.

    30 L a day from 60 L: 30, 30, then nothing. A 70 L load with a lead of one day is ordered on the
    evening of day 1 (30 L held, 70 L of room), comes on day 2, and all four days are met.
    """
    for load, loads, supplied in ((150.0, 0.0, 60.0), (70.0, 1.0, 120.0)):
        parts = arranging.Parts(
            stores=[arranging.Store(100.0, start_l=60.0)],
            roofs=[arranging.Roof([0.0] * 4)],
            uses=[arranging.Use([30.0] * 4)],
            trucks=[arranging.Truck(0, load_l=load, order_below_l=40.0)],
        )
        balance = run(arranging.arranged(parts))
        assert balance.sums.loads[0, 0] == loads
        assert balance.sums.supplied_l[0, 0] == pytest.approx(supplied)
