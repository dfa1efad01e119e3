"""Each measure of a goal, met and missed, on runs counted by hand."""

import numpy as np
import pytest

from eavewell.site.goal import Goal
from eavewell.site.hauling import Hauling
from eavewell.site.lift import Lift
from eavewell.site.reserve import Reserve
from eavewell.storage.arrangement import arrange, lanes_as_drawn
from eavewell.storage.balance import run
from eavewell.storage.goals import all_reached, in_words, measured, reached


@pytest.fixture(scope="module")
def ten_days(making):
    """60 L at first, 10 L wanted on ten dry days: six full, four short in a row, 0.6 supplied."""
    site = making.site(
        tanks=(making.tank(60.0, start_share=1.0),), uses=(making.use(10.0),), goals=()
    )
    water = making.series(np.zeros(10), [10.0])
    return site, run(arrange(site, water, lanes=lanes_as_drawn(site)))


@pytest.mark.parametrize(
    ("measure", "is_met_at", "is_missed_at"),
    [
        ("dry_days_in_worst_spell", 4, 3),
        ("days_met", 0.6, 0.61),
        ("supplied_share", 0.6, 0.61),
        ("loads_in_worst_year", 0, -1),
    ],
)
def test_each_measure_in_both_directions(ten_days, measure, is_met_at, is_missed_at):
    site, balance = ten_days
    for target, is_met in ((is_met_at, True), (is_missed_at, False)):
        goal = Goal("house", measure, target)
        assert reached(goal, measured(goal, site, balance=balance)).tolist() == [is_met]


def test_all_goals_must_be_reached(ten_days, making):
    _, balance = ten_days
    met, missed = Goal("house", "days_met", 0.5), Goal("house", "supplied_share", 0.9)
    site = making.site(uses=(making.use(10.0),), goals=(met,))
    assert all_reached(site, balance).tolist() == [True]
    site = making.site(uses=(making.use(10.0),), goals=(met, missed))
    assert all_reached(site, balance).tolist() == [False]


def loads(making, *, hauling, tanks, uses, lifts=()):
    site = making.site(tanks=tanks, uses=uses, hauling=hauling, lifts=lifts, goals=())
    water = making.series(np.zeros(40), [[one.wants[0].each_l for one in uses]])
    balance = run(arrange(site, water, lanes=lanes_as_drawn(site)))
    return site, balance


def truck(to):
    """Ordered when the store is empty in the evening, there on the second morning."""
    return Hauling(to, load_l=10.0, lead_days=1, order_below=Reserve(volume_l=1e-6))


def test_loads_are_those_of_the_stores_that_a_use_draws_from(making):
    # 10 L a day out of 10 L loads: a load a day, ordered in the evening before, from day 2 on.
    # The load is morning water only on the day after it came: day 3, with day 3's own load not
    # ordered, for the evening of day 2 still held 10 L. So one load in two days.
    tanks = tuple(making.tank(50.0, name, start_share=0.0) for name in ("a", "b", "c"))
    uses = (
        making.use(10.0, "house", draws_from=("a", "b")),
        making.use(10.0, "garden", draws_from=("c",), priority=2),
    )
    site, balance = loads(making, hauling=(truck("a"), truck("c")), tanks=tanks, uses=uses)
    each = balance.sums.worst_year_loads[:, 0]
    house = measured(Goal("house", "loads_in_worst_year", 0), site, balance=balance)
    garden = measured(Goal("garden", "loads_in_worst_year", 0), site, balance=balance)
    assert house.tolist() == [each[0]] == [20.0]
    assert garden.tolist() == [each[1]] == [20.0]
    both = loads(making, hauling=(truck("a"), truck("b")), tanks=tanks, uses=uses)
    house = measured(Goal("house", "loads_in_worst_year", 0), both[0], balance=both[1])
    assert house.tolist() == [both[1].sums.worst_year_loads[:, 0].sum()]


def test_loads_reach_a_use_through_a_lift(making):
    tanks = tuple(making.tank(50.0, name, start_share=0.0) for name in ("main", "header"))
    uses = (making.use(10.0, draws_from=("header",)),)
    site, balance = loads(
        making,
        hauling=(truck("main"),),
        tanks=tanks,
        uses=uses,
        lifts=(Lift("top-up", "main", "header"),),
    )
    found = measured(Goal("house", "loads_in_worst_year", 0), site, balance=balance)
    assert found[0] == balance.sums.loads[0, 0] > 0


def test_goals_in_words():
    says = {
        ("dry_days_in_worst_spell", 0): "house: no dry day",
        ("dry_days_in_worst_spell", 5): "house: at most 5 dry days running",
        ("loads_in_worst_year", 2): "house: at most 2 loads in a year",
        ("days_met", 0.95): "house: 95 % of the days met in full",
        ("supplied_share", 0.705): "house: 70.5 % of the water supplied",
    }
    for (measure, target), words in says.items():
        assert in_words(Goal("house", measure, target)) == words
