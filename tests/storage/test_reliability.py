"""Full, rationed and short days, and runs of short days with their dates, counted by hand."""

from datetime import date

import numpy as np
import pytest

from eavewell.site.reserve import RationStage, Reserve
from eavewell.storage.arrangement import arrange, lanes_as_drawn
from eavewell.storage.balance import run
from eavewell.storage.reliability import monthly_means, reliability, shortfalls
from eavewell.storage.series import uses_in_order

START = np.datetime64("2003-12-29")


def spells(wanted, missing):
    dates = START + np.arange(len(wanted))
    return shortfalls(np.array(wanted, float), np.array(missing, float), dates=dates)


def judged(site, water):
    balance = run(arrange(site, water, lanes=lanes_as_drawn(site)), keep_lane=0)
    names = tuple(use.name for use in uses_in_order(site))
    return reliability(balance, water, names=names), balance


def test_runs_have_dates_days_and_volume():
    found = spells([5] * 7, [0, 1, 2, 0, 0, 3, 0])
    assert [(one.first, one.last, one.short_days, one.missing_l) for one in found] == [
        (date(2003, 12, 30), date(2003, 12, 31), 2, 3.0),
        (date(2004, 1, 3), date(2004, 1, 3), 1, 3.0),
    ]


def test_days_without_want_bridge_a_run_and_do_not_count():
    # Weekends only: short on Saturday and Sunday, five days of nobody, short again.
    found = spells([9, 9, 0, 0, 0, 0, 0, 9, 9], [9, 9, 0, 0, 0, 0, 0, 4, 0])
    assert [(one.first, one.last, one.short_days, one.missing_l) for one in found] == [
        (date(2003, 12, 29), date(2004, 1, 5), 3, 22.0)
    ]


def test_no_run_where_nothing_is_short_or_nothing_wanted():
    assert spells([1, 1], [0, 0]) == []
    assert spells([0, 0], [0, 0]) == []


def test_a_run_may_start_on_the_first_and_end_on_the_last_day():
    (only,) = spells([2, 2, 2], [1, 1, 1])
    assert (only.first, only.last, only.short_days) == (date(2003, 12, 29), date(2003, 12, 31), 3)


def test_rounding_alone_is_not_short():
    assert spells([1e6], [1e-4]) == []


def test_full_rationed_and_short_days(making):
    # 30 L, no rain, 10 L wanted, half of it below 15 L.
    # Mornings 30, 20, 10, 5, 0: full, full, 5 of 5 rationed, 5 of 5 rationed, 0 of 5 short.
    stage = RationStage(Reserve(volume_l=15.0), 0.5)
    site = making.site(
        tanks=(making.tank(30.0, start_share=1.0),), uses=(making.use(10.0, stages=(stage,)),)
    )
    found, _ = judged(site, making.series(np.zeros(5), [10.0]))
    (house,) = found.uses
    assert (house.full_days, house.rationed_days, house.short_days) == (2, 2, 1)
    assert house.days_met_share == pytest.approx(2 / 5)
    assert house.supplied_share == pytest.approx(30 / 50)
    assert house.longest.missing_l == pytest.approx(5.0)
    assert (found.start_l, found.end_l) == (30.0, 0.0)


def test_a_ration_of_nothing_ends_a_run_in_both_reckonings(making):
    # No rain; the garden gets nothing below 20 L. The house empties the tank to 20 L less 1.
    stage = RationStage(Reserve(volume_l=20.0), 0.0)
    garden = making.use(10.0, "garden", end_use="outdoor", stages=(stage,), priority=2)
    site = making.site(
        tanks=(making.tank(30.0, start_share=1.0),), uses=(garden, making.use(4.0)), goals=()
    )
    # Morning levels 30, 16, ...: the garden has its want on day 1 and is rationed to nothing since.
    found, balance = judged(site, making.series(np.zeros(6), [[4.0, 10.0]]))
    of_garden = found.uses[1]
    assert (of_garden.full_days, of_garden.rationed_days, of_garden.short_days) == (1, 5, 0)
    assert of_garden.wanted_days == 6
    assert of_garden.longest is None
    assert balance.sums.longest_short_days[1, 0] == 0


def test_worst_is_by_water_and_longest_by_days(making):
    # 3 days short by 1 of 1, then 2 days short by 50 of 50, a day of rain between.
    wants = np.array([1, 1, 1, 1, 1, 50, 50], float)
    runoff = np.array([0, 0, 0, 10, 0, 0, 0], float)
    site = making.site(roofs=(making.roof(1.0),), tanks=(making.tank(9.0, start_share=0.0),))
    found, _ = judged(site, making.series(runoff, wants))
    # Day 4 draws nothing either: its rain comes after the morning. Day 5 is full, 8 L stay.
    assert (found.longest.short_days, found.longest.missing_l) == (4, pytest.approx(4.0))
    assert (found.worst.short_days, found.worst.missing_l) == (2, pytest.approx(92.0))
    assert found.longest.first == date(2001, 1, 1)
    assert found.worst.last == date(2001, 1, 7)


def test_the_system_shows_the_longest_run_of_any_one_use(making):
    # A garden short on every second day, a house never short: the house's days break nothing.
    wants = np.zeros((10, 2))
    wants[:, 0], wants[::2, 1] = 1.0, 100.0
    garden = making.use(100.0, "garden", draws_from=("barrel",), priority=2)
    site = making.site(
        tanks=(making.tank(100.0, start_share=1.0), making.tank(1.0, "barrel", start_share=0.0)),
        uses=(making.use(1.0), garden),
        goals=(),
    )
    found, _ = judged(site, making.series(np.zeros(10), wants))
    assert found.uses[0].longest is None
    assert found.longest == found.uses[1].longest
    assert (found.longest.short_days, found.longest.missing_l) == (5, pytest.approx(500.0))


@pytest.mark.parametrize("seed", range(6))
def test_runs_agree_with_the_engine(making, seed):
    rng = np.random.default_rng(seed)
    wants = rng.uniform(0, 20, (400, 2)) * (rng.random((400, 2)) < 0.6)
    stages = (RationStage(Reserve(share=0.5), 0.5), RationStage(Reserve(share=0.2), 0.0))
    uses = (making.use(1.0, "a", stages=stages), making.use(1.0, "b", priority=2))
    site = making.site(uses=uses, tanks=(making.tank(60.0),), goals=())
    water = making.series(rng.exponential(8.0, 400) * (rng.random(400) < 0.1), wants)
    found, balance = judged(site, water)
    for u, one in enumerate(found.uses):
        assert balance.sums.longest_short_days[u, 0] == (
            one.longest.short_days if one.longest else 0
        )
        assert one.full_days + one.rationed_days + one.short_days == 400


def test_dates_need_the_days_of_a_lane(making):
    site, water = making.site(), making.series(np.zeros(3), [8.0])
    balance = run(arrange(site, water, lanes=lanes_as_drawn(site)))
    with pytest.raises(ValueError, match="keep_lane"):
        reliability(balance, water, names=("house",))


def test_monthly_means():
    # 366 days from 1 January 2004: the day of the month in January, nothing else.
    dates = np.datetime64("2004-01-01") + np.arange(366)
    values = np.r_[np.arange(1.0, 32.0), np.zeros(335)]
    assert monthly_means(values, dates) == pytest.approx([16.0] + [0.0] * 11)
