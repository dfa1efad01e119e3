"""What must hold for any arrangement, and where it stops to hold.

Scope, one store with reserves in litres, no ration stage, no hauled load, no lift:
- a larger tank never supplies less to any use nor meets fewer days, under both rules;
- more rain never supplies less in all; under yield before spillage it also never gives a use less
  nor meets fewer days. Under yield after spillage it can meet fewer days: a fuller morning draws
  from a store that then spills (counter-example below);
- yield before spillage never supplies less in all than yield after spillage.
Under yield before spillage more rain is harmless in any cascade, too. Outside that scope correct
accounts break these laws; one counter-example of each is worked by hand.
"""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from eavewell.storage.balance import run
from eavewell.storage.lanes import NOWHERE

RULES = ("yas", "ybs")
seeds = st.integers(0, 2**32 - 1)
quick = settings(max_examples=60, deadline=None)


def _kept(arranging, parts, *, lane=0):
    arrangement = arranging.arranged(parts)
    return arrangement, run(arrangement, keep_lane=lane).every_day


def _rows(arrangement, lane):
    reads = arrangement.day_row
    return reads[:, lane if reads.shape[1] > 1 else 0]


def _came_in(arrangement, kept, lane):
    """Loads, runoff and spill from above into each store, [day, store]."""
    came = np.zeros_like(kept.level_l)
    runoff = arrangement.runoff_mm[_rows(arrangement, lane)] * arrangement.area_m2[:, lane]
    np.add.at(came.T, arrangement.roof_to, runoff.T)
    loads = kept.loads * arrangement.truck_load_l[:, lane]
    np.add.at(came.T, arrangement.truck_to, loads.T)
    linked = np.flatnonzero(arrangement.spill_to >= 0)
    np.add.at(came.T, arrangement.spill_to[linked], kept.spilled_l.T[linked])
    return came


def _moved(arrangement, kept):
    """What lifts put into each store, less what they took, [day, store]."""
    moved = np.zeros_like(kept.level_l)
    np.add.at(moved.T, arrangement.lift_to, kept.lifted_l.T)
    between = np.flatnonzero(arrangement.lift_from != NOWHERE)
    np.subtract.at(moved.T, arrangement.lift_from[between], kept.lifted_l.T[between])
    return moved


def _mornings(arrangement, kept, lane):
    return np.vstack([arrangement.start_l[:, lane], kept.level_l[:-1]])


@given(seed=seeds)
@quick
def test_nothing_is_made_or_lost_in_any_store_on_any_day(arranging, seed):
    """What is missing from each store's account is what the uses drew: all of it and no more."""
    arrangement, kept = _kept(arranging, arranging.drawn(seed, lanes=3), lane=1)
    before = _mornings(arrangement, kept, 1)
    came = _came_in(arrangement, kept, 1) + _moved(arrangement, kept)
    drawn = before + came - kept.spilled_l - kept.lost_l - kept.level_l
    size = 1e-9 * max(1.0, before.max() + came.max())
    assert (drawn >= -size).all()
    np.testing.assert_allclose(
        drawn.sum(axis=1), kept.supplied_l.sum(axis=1), rtol=0, atol=9 * size
    )
    unused = sorted(set(range(drawn.shape[1])) - set(arrangement.draw.ravel().tolist()))
    np.testing.assert_allclose(drawn[:, unused], 0.0, atol=size)


@given(seed=seeds)
@quick
def test_levels_stay_between_empty_and_full(arranging, seed):
    arrangement, kept = _kept(arranging, arranging.drawn(seed, lanes=2))
    assert (kept.level_l >= -1e-9).all()
    assert (kept.level_l <= arrangement.capacity_l[:, 0] * (1 + 1e-12) + 1e-9).all()


@given(seed=seeds)
@quick
def test_a_store_spills_only_what_is_above_its_brim(arranging, seed):
    arrangement, kept = _kept(arranging, arranging.drawn(seed, lanes=2))
    full = arrangement.capacity_l[:, 0]
    if arrangement.ybs:
        brimming = np.abs(kept.level_l - full) <= 1e-9 * (1 + full)
        assert brimming[kept.spilled_l > 1e-9].all()
    else:
        held = _mornings(arrangement, kept, 0) + _came_in(arrangement, kept, 0)
        np.testing.assert_allclose(kept.spilled_l, np.maximum(held - full, 0.0), atol=1e-7)


@given(seed=seeds)
@quick
def test_supply_stays_within_plan_and_plan_within_want(arranging, seed):
    arrangement, kept = _kept(arranging, arranging.drawn(seed, lanes=2))
    wanted = arrangement.demand_l[_rows(arrangement, 0)] * arrangement.scale[:, 0]
    assert (kept.supplied_l >= -1e-9).all()
    assert (kept.supplied_l <= kept.planned_l + 1e-9).all()
    assert (kept.planned_l <= wanted + 1e-9).all()


@given(seed=seeds)
@quick
def test_draws_leave_the_reserve_and_under_yas_the_days_rain(arranging, seed):
    arrangement, kept = _kept(arranging, replace(arranging.drawn(seed, lanes=1), rule="yas"))
    morning = _mornings(arrangement, kept, 0)
    for use, sources in enumerate(arrangement.draw):
        own = sources[sources >= 0]
        free = np.maximum(morning[:, own] - arrangement.reserve_l[use, own, 0], 0.0).sum(axis=1)
        assert (kept.supplied_l[:, use] <= free + 1e-7).all()


# Whole litres: sums are exact, so that a comparison needs no allowance.
litres = st.integers(0, 12).map(float)
days = st.lists(st.tuples(litres, litres, litres, litres, litres), min_size=1, max_size=25)


@st.composite
def stores(draw, lossy=True):
    """Columns of rain, more rain, two wants and loss; capacity, growth, start and two reserves."""
    rain, more, first, second, loss = (list(column) for column in zip(*draw(days), strict=True))
    wet = draw(st.lists(st.booleans(), min_size=len(rain), max_size=len(rain)))
    rain = [3.0 * mm * on for mm, on in zip(rain, wet, strict=True)]
    sizes = draw(st.tuples(st.integers(1, 40), litres, litres, litres, litres))
    loss = [0.25 * mm for mm in loss] if lossy else []
    return rain, more, (first, second), loss, sizes


def _one_store(arranging, drawn, *, rule):
    """Lanes: as drawn, a larger tank, more rain."""
    rain, more, wants, loss, (capacity, growth, start, *kept_back) = drawn
    held = min(start, float(capacity))
    sizes = [capacity, capacity + growth, capacity]
    return arranging.Parts(
        stores=[arranging.Store(sizes, held, loss_l=loss)],
        roofs=[arranging.Roof(rain), arranging.Roof(more, [0.0, 0.0, 1.0])],
        uses=[
            arranging.Use(want, reserve_l={0: litres_kept})
            for want, litres_kept in zip(wants, kept_back, strict=True)
        ],
        rule=rule,
        lanes=3,
    )


@pytest.mark.parametrize("rule", RULES)
@given(drawn=stores())
@quick
def test_a_larger_tank_is_never_worse(arranging, rule, drawn):
    sums = run(arranging.arranged(_one_store(arranging, drawn, rule=rule))).sums
    assert (sums.supplied_l[:, 1] >= sums.supplied_l[:, 0]).all()
    assert (sums.short_days[:, 1] <= sums.short_days[:, 0]).all()
    assert sums.cut_days[1] <= sums.cut_days[0]


@pytest.mark.parametrize("rule", RULES)
@given(drawn=stores())
@quick
def test_more_rain_never_supplies_less_in_all(arranging, rule, drawn):
    supplied = run(arranging.arranged(_one_store(arranging, drawn, rule=rule))).sums.supplied_l
    assert supplied[:, 2].sum() >= supplied[:, 0].sum()


@given(drawn=stores())
@quick
def test_before_spillage_more_rain_meets_no_fewer_days(arranging, drawn):
    sums = run(arranging.arranged(_one_store(arranging, drawn, rule="ybs"))).sums
    assert (sums.supplied_l[:, 2] >= sums.supplied_l[:, 0]).all()
    assert (sums.short_days[:, 2] <= sums.short_days[:, 0]).all()
    assert sums.cut_days[2] <= sums.cut_days[0]


@given(drawn=stores(lossy=False), below=st.integers(1, 30))
@quick
def test_before_spillage_more_rain_is_harmless_in_a_cascade(arranging, drawn, below):
    parts = _one_store(arranging, drawn, rule="ybs")
    upper, lower = replace(parts.stores[0], spills_to=1), arranging.Store(float(below))
    uses = [replace(use, draws_from=[turn, 1 - turn]) for turn, use in enumerate(parts.uses)]
    sums = run(arranging.arranged(replace(parts, stores=[upper, lower], uses=uses))).sums
    assert (sums.supplied_l[:, 2] >= sums.supplied_l[:, 0]).all()
    assert (sums.short_days[:, 2] <= sums.short_days[:, 0]).all()


@given(drawn=stores())
@quick
def test_before_spillage_never_supplies_less_than_after(arranging, drawn):
    yas, ybs = (run(arranging.arranged(_one_store(arranging, drawn, rule=r))).sums for r in RULES)
    assert (ybs.supplied_l.sum(axis=0) >= yas.supplied_l.sum(axis=0)).all()


def _supplied(arranging, parts, *, lane=0):
    return run(arranging.arranged(parts), keep_lane=lane).every_day.supplied_l[:, 0].tolist()


def test_a_larger_tank_may_ration_earlier(arranging):
    """Half the want below half full; 60 L held, 20 L wanted, no rain.

    100 L tank: 60 >= 50, 20 -> 40; then 10 -> 30; then 10 -> 20. Supplied 40, one day met.
    200 L tank: 60 < 100, 10 -> 50; then 10 -> 40; then 10 -> 30. Supplied 30, no day met.
    """
    sizes = np.array([100.0, 200.0])
    parts = arranging.Parts(
        stores=[arranging.Store(sizes, 60.0)],
        roofs=[arranging.Roof([0.0] * 3)],
        uses=[arranging.Use([20.0] * 3, stages=[(0.5 * sizes, 0.5)])],
        lanes=2,
    )
    assert _supplied(arranging, parts, lane=0) == [20, 10, 10]
    assert _supplied(arranging, parts, lane=1) == [10, 10, 10]
    assert run(arranging.arranged(parts)).met_share == pytest.approx([1 / 3, 0])


def test_a_larger_upper_tank_may_starve_a_lower_one(arranging):
    """100 L of rain; what the upper tank cannot hold feeds the lower one that is drawn from.

    Upper 50 L: 50 spill down, next day 50 are drawn. Upper 150 L: nothing comes down.
    """
    parts = arranging.Parts(
        stores=[arranging.Store([50.0, 150.0], spills_to=1), arranging.Store(80.0)],
        roofs=[arranging.Roof([100.0, 0.0])],
        uses=[arranging.Use([0.0, 50.0], draws_from=[1])],
        lanes=2,
    )
    assert _supplied(arranging, parts, lane=0) == [0, 50]
    assert _supplied(arranging, parts, lane=1) == [0, 0]


def test_more_rain_may_put_off_a_truck(arranging):
    """Yield before spillage; 80 L come three days after an evening below 40 L; 50 L held.

    No rain: 50 - 20 = 30, ordered for day 4; 10; 0; 80 - 20 = 60; 40. All met, 90 supplied.
    10 L on day 1: 60 - 20 = 40, not below; 20, ordered for day 5; 10; day 4 wants 20 and gets 10;
    80 - 20 = 60. Supplied 80, one day short.
    """
    parts = arranging.Parts(
        stores=[arranging.Store(200.0, 50.0)],
        roofs=[arranging.Roof([10.0, 0.0, 0.0, 0.0, 0.0], [0.0, 1.0])],
        uses=[arranging.Use([20.0, 20.0, 10.0, 20.0, 20.0])],
        trucks=[arranging.Truck(0, 80.0, order_below_l=40.0, lead_days=3)],
        rule="ybs",
        lanes=2,
    )
    assert _supplied(arranging, parts, lane=0) == [20, 20, 10, 20, 20]
    assert _supplied(arranging, parts, lane=1) == [20, 20, 10, 10, 20]


def test_after_spillage_more_rain_may_meet_fewer_days(arranging):
    """One store of 100 L, empty; 50 L wanted each day; 100 L of rain on day 2.

    No more rain: day 2 fills it, nothing was there to draw; then 50 and 50. Two days met.
    40 L on day 1: day 2 spills 40 and then gives the morning's 40 (short), leaving 60; then 50,
    then 10 (short). One day met; supplied 100 either way.
    """
    parts = arranging.Parts(
        stores=[arranging.Store(100.0)],
        roofs=[
            arranging.Roof([0.0, 100.0, 0.0, 0.0]),
            arranging.Roof([40.0, 0.0, 0.0, 0.0], [0.0, 1.0]),
        ],
        uses=[arranging.Use([50.0] * 4)],
        lanes=2,
    )
    assert _supplied(arranging, parts, lane=0) == [0, 0, 50, 50]
    assert _supplied(arranging, parts, lane=1) == [0, 40, 50, 10]
    assert run(arranging.arranged(parts)).met_share.tolist() == [0.5, 0.25]


def test_before_spillage_may_meet_fewer_days_than_after(arranging):
    """40 L of rain on day 1; 60 L wanted, then 40 L.

    Before spillage: day 1 takes all 40 and is short; day 2 finds nothing. No day met.
    After spillage: day 1 finds the morning empty; day 2 takes 40. One day met; 40 L either way.
    """
    parts = arranging.Parts(
        stores=[arranging.Store(100.0)],
        roofs=[arranging.Roof([40.0, 0.0])],
        uses=[arranging.Use([60.0, 40.0])],
    )
    assert _supplied(arranging, replace(parts, rule="yas")) == [0, 40]
    assert _supplied(arranging, replace(parts, rule="ybs")) == [40, 0]
