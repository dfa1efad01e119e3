"""Which choices there are, which no other beats, and the best next purchase. Sites invented."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from eavewell.cost.band import flat
from eavewell.cost.separable import whole_life
from eavewell.faults import BadSite
from eavewell.files.site.reader import site_of_text
from eavewell.site.beside import Beside
from eavewell.site.money import Money
from eavewell.site.weighing import Choice, Weighing
from eavewell.weigh import weigh
from eavewell.weigh.choices import choices_of, tank_of
from eavewell.weigh.front import front, thinned
from eavewell.weigh.step import best_step
from eavewell.weigh.weights import Weight

quick = settings(max_examples=200, deadline=None)


@pytest.fixture
def site(making):
    """Two tanks of 3,000 L under 110 m2."""
    whole = making.site(
        roofs=(making.roof(110.0, "main"),),
        tanks=(making.tank(3000.0, "main", count=2),),
        uses=(making.use(draws_from=("main",)),),
    )
    return replace(whole, place=replace(whole.place, show="metric"))


@pytest.fixture(scope="module")
def barn():
    example = Path(__file__).parents[1] / "examples" / "low-eaves" / "site.toml"
    return replace(site_of_text(example.read_text(encoding="utf-8")), money=Money())


def test_too_many_choices_are_refused(site):
    sizes = tuple(float(each) for each in range(1000, 1000 + 2000))
    many = replace(site, weighing=Weighing(each_l=sizes, counts=tuple(range(1, 12))))
    with pytest.raises(BadSite, match="20,000") as refused:
        choices_of(many, "main")
    assert "name fewer" in refused.value.faults[0].says


def test_a_tank_that_is_not_there_is_named(site):
    with pytest.raises(BadSite, match=r"'barn' is not there.*'main'"):
        tank_of(replace(site, weighing=Weighing(tank="barn")))


def test_a_sump_is_not_weighed(barn):
    with pytest.raises(BadSite, match=r"'sump' is a sump.*'ground tank'"):
        tank_of(replace(barn, weighing=Weighing(tank="sump")))


def test_a_barn_with_a_sump_is_exactly_what_design_says(barn, making):
    """The captured water of a sump comes with a stand-in roof; it does not move the present."""
    site = replace(barn, weighing=Weighing(counts=(1, 2)))
    found = weigh(site, making.record(making.wet_and_dry(4)), beside=Beside())
    figures = found.design.drawn.reliability
    assert found.tank == "ground tank"
    assert "sizes as commonly sold" not in found.limits
    assert found.limits[0].startswith("no part has a price in USD")
    assert found.present.supplied_share == figures.supplied_share
    assert found.present.days_met_share == figures.days_met_share


def test_left_empty_the_sizes_commonly_sold_and_more_or_fewer_of_the_same(site):
    site = replace(site, weighing=Weighing())
    listed = choices_of(site, tank_of(site))
    assert {one.count for one in listed if one.each_l == 3000.0} == {1, 2, 3, 4, 5, 6}
    assert {(one.count, one.each_l) for one in listed if one.each_l == 10000.0} == {
        (1, 10000.0),
        (2, 10000.0),
    }
    assert {one.roof_m2 for one in listed} == {110.0}


# The front by its definition.


@quick
@given(
    points=st.lists(st.tuples(st.integers(0, 8), st.integers(0, 8)), min_size=1, max_size=25),
)
def test_the_front_is_what_no_other_beats(points):
    cost, good = (np.array(column, dtype=float) for column in zip(*points, strict=True))
    every = range(len(points))
    beaten = {
        a
        for a in every
        for b in every
        if a != b and cost[b] <= cost[a] and good[b] >= good[a]
        if cost[b] < cost[a] or good[b] > good[a] or b < a
    }
    expected = sorted(set(every) - beaten, key=lambda at: cost[at])
    assert list(front(cost, good)) == expected


def test_what_is_never_good_enough_is_on_no_front():
    assert front(np.array([1.0, 2.0]), np.array([-np.inf, -np.inf])) == ()
    assert front(np.array([1.0, 2.0]), np.array([-np.inf, 3.0])) == (1,)


@quick
@given(count=st.integers(0, 60), most=st.integers(2, 20))
def test_thinned_keeps_both_ends(count, most):
    every = tuple(range(count))
    kept = thinned(every, most)
    assert len(kept) == min(count, most)
    assert (kept[:1], kept[-1:]) == (every[:1], every[-1:])
    assert list(kept) == sorted(set(kept))


# The best next purchase on paper.


def weight(cut, first, *, loads=5.0, **choice):
    fields = {"count": 1, "each_l": 1000.0, "roof_m2": 100.0} | choice
    return Weight(
        Choice(**fields),
        0.5,
        1.0 - cut / 365.25,
        cut,
        9,
        loads,
        6,
        False,
        False,
        flat(first),
        flat(first),
    )


def test_the_step_that_gains_most_days_for_its_price():
    """30 days for 600, 20 for 300, 12 for 200, 25 for nothing: 20 for 300 gains most a dollar."""
    found = best_step(
        [
            weight(40.0, 1000.0),
            weight(10.0, 1600.0, count=3),
            weight(20.0, 1300.0, count=2),
            weight(28.0, 1200.0, roof_m2=140.0),
            weight(15.0, 1000.0, garden=0.5),
            weight(0.0, 1100.0, count=2, roof_m2=140.0),
        ]
    )
    assert (found.weight.choice.count, found.what) == (2, "tank")
    assert (found.price, found.days_year) == (300.0, 20.0)


def test_where_no_day_is_gained_loads_are():
    found = best_step(
        [
            weight(0.0, 1000.0, loads=6.0),
            weight(0.0, 1500.0, loads=2.0, count=2),
            weight(0.0, 1200.0, loads=5.0, roof_m2=120.0),
        ]
    )
    assert (found.what, found.price, found.loads_year) == ("tank", 500.0, 4.0)


def test_where_nothing_gains_there_is_no_step():
    assert best_step([weight(0.0, 1000.0), weight(0.0, 1500.0, count=2)]) is None
    assert best_step([weight(5.0, 1000.0)]) is None


def test_the_whole_life_of_an_even_sum():
    money = Money(discount=0.03)
    assert whole_life(money) == pytest.approx(sum(1.03**-year for year in range(1, 21)))
