"""From a site's nouns to the engine's arrays: reserves, stages, lifts, trucks, the way downhill."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from eavewell.site.hauling import Hauling
from eavewell.site.lift import Lift
from eavewell.site.reserve import RationStage, Reserve
from eavewell.storage.arrangement import (
    arrange,
    lanes_as_drawn,
    side_by_side,
    spread,
    uphill_first,
    with_store,
)
from eavewell.storage.balance import run
from eavewell.storage.lanes import NO_LIMIT, NOWHERE


def arranged(making, site, *, runoff=(0.0, 0.0), wants=None, lanes=None):
    wants = [[use.wants[0].each_l for use in site.uses]] if wants is None else wants
    water = making.series(np.array(runoff), wants)
    return arrange(site, water, lanes=lanes_as_drawn(site) if lanes is None else lanes)


def test_a_reserve_is_litres_or_a_share_and_the_higher_one_holds(making):
    garden = making.use(name="garden", reserve=Reserve(share=0.25), priority=2)
    lawn = making.use(name="lawn", reserve=Reserve(volume_l=10.0), priority=3)
    tank = making.tank(200.0, fire_reserve=Reserve(volume_l=30.0))
    site = making.site(tanks=(tank,), uses=(making.use(), garden, lawn))
    lanes = with_store(lanes_as_drawn(site), 0, usable_l=np.array([100.0, 200.0]))
    reserve = arranged(making, site, lanes=lanes).reserve_l[:, 0]
    # A quarter of 100 is less than the fire reserve, a quarter of 200 is more.
    assert reserve.tolist() == [[30.0, 30.0], [30.0, 50.0], [30.0, 30.0]]


def test_stages_stand_lowest_first_and_grow_with_the_stores_drawn_from(making):
    stages = (
        RationStage(Reserve(share=0.5), 0.8),
        RationStage(Reserve(volume_l=20.0), 0.2),
        RationStage(Reserve(share=0.25), 0.5),
    )
    use = making.use(draws_from=("tank", "barrel"), stages=stages)
    site = making.site(tanks=(making.tank(200.0), making.tank(40.0, "barrel")), uses=(use,))
    lanes = with_store(lanes_as_drawn(site), 0, usable_l=np.array([200.0, 360.0]))
    found = arranged(making, site, lanes=lanes)
    assert found.stage_share.tolist() == [[0.2, 0.5, 0.8, 1.0]]
    below = found.stage_below_l[0].tolist()
    assert below == [[20.0, 20.0], [60.0, 100.0], [120.0, 200.0], [-1.0, -1.0]]


def test_no_stage_anywhere_is_no_stage_at_all(making):
    assert arranged(making, making.site()).stage_share.shape == (1, 0)


@st.composite
def forests(draw):
    """Stores in any order, each spilling to a later one of a hidden order, or away."""
    order = draw(st.permutations(range(draw(st.integers(1, 9)))))
    below = np.full(len(order), NOWHERE)
    for at, store in enumerate(order[:-1]):
        if draw(st.booleans()):
            below[store] = draw(st.sampled_from(order[at + 1 :]))
    return below


@given(forests())
@settings(max_examples=60, deadline=None)
def test_uphill_comes_first_in_any_forest(below):
    order = uphill_first(below).tolist()
    assert sorted(order) == list(range(below.size))
    for store, to in enumerate(below):
        assert to == NOWHERE or order.index(store) < order.index(to)


def test_a_truck_is_ordered_at_the_use_of_lead_and_safety_over_the_reserve(making):
    # (8 + 5) L a day over 4 + 3 days, over the higher of the two reserves of 20 and 12 L.
    uses = (
        making.use(8.0, reserve=Reserve(volume_l=20.0)),
        making.use(5.0, "stock", reserve=Reserve(volume_l=12.0), priority=2),
        making.use(99.0, "elsewhere", draws_from=("barrel",), priority=3),
    )
    tanks = (making.tank(), making.tank(50.0, "barrel"))
    truck = Hauling("tank", load_l=100.0, lead_days=4, safety_days=3)
    site = making.site(tanks=tanks, uses=uses, hauling=(truck,))
    assert arranged(making, site).truck_order_l == pytest.approx(np.array([[13.0 * 7 + 20.0]]))
    stated = Hauling("tank", 100.0, 4, order_below=Reserve(share=0.5))
    site = making.site(tanks=tanks, uses=uses, hauling=(stated,))
    assert arranged(making, site).truck_order_l.tolist() == [[100.0]]


def test_a_truck_counts_uses_that_its_store_feeds_through_lifts(making):
    tanks = (making.tank(500.0, "main"), making.tank(50.0, "header"), making.tank(9.0, "tap"))
    lifts = (Lift("up", "main", "header"), Lift("on", "header", "tap"))
    truck = Hauling("main", load_l=100.0, lead_days=2, safety_days=0)
    site = making.site(
        tanks=tanks, lifts=lifts, hauling=(truck,), uses=(making.use(8.0, draws_from=("tap",)),)
    )
    assert site.fed_from("main") == {"main", "header", "tap"}
    assert site.fed_from("tap") == {"tap"}
    assert arranged(making, site).truck_order_l.tolist() == [[16.0]]


def test_a_lift_starts_and_stops_by_shares_of_its_target(making):
    tanks = (making.tank(500.0, "main"), making.tank(80.0, "header"))
    lift = Lift("up", "main", "header", limit_l_day=30.0, target_start_share=0.25)
    mains = Lift("make-up", "mains", "main", target_start_share=0.1, target_stop_share=0.2)
    site = making.site(tanks=tanks, lifts=(lift, mains), uses=(making.use(draws_from=("header",)),))
    lanes = with_store(lanes_as_drawn(site), 1, usable_l=np.array([80.0, 160.0]))
    found = arranged(making, site, lanes=lanes)
    assert found.lift_from.tolist() == [0, NOWHERE]
    assert found.lift_to.tolist() == [1, 0]
    assert found.lift_limit_l.tolist() == [[30.0, 30.0], [NO_LIMIT, NO_LIMIT]]
    assert found.lift_target_start_l.tolist() == [[20.0, 40.0], [50.0, 50.0]]
    assert found.lift_target_stop_l.tolist() == [[80.0, 160.0], [100.0, 100.0]]


def test_another_size_keeps_the_start_share(making):
    site = making.site(tanks=(making.tank(200.0, start_share=0.3), making.tank(50.0, "barrel")))
    lanes = with_store(lanes_as_drawn(site), 0, usable_l=np.array([0.0, 100.0, 1000.0]))
    assert lanes.usable_l.tolist() == [[0.0, 100.0, 1000.0], [50.0] * 3]
    assert lanes.start_l == pytest.approx(np.array([[0.0, 30.0, 300.0], [0.0] * 3]))
    assert (lanes.area_m2 == 10.0).all()
    assert (lanes.scale == 1.0).all()


def test_groups_of_lanes_stand_side_by_side(making):
    drawn = lanes_as_drawn(making.site())
    both = side_by_side(spread(drawn, 2), with_store(drawn, 0, usable_l=np.array([7.0])))
    assert both.count == 3
    assert both.usable_l.tolist() == [[200.0, 200.0, 7.0]]


def test_roofs_that_drain_nowhere_are_left_out_and_new_years_marked(making):
    roofs = (making.roof(10.0, to=""), making.roof(20.0))
    water = making.series(np.zeros(3), [8.0], first="2003-12-31")
    found = arrange(site := making.site(roofs=roofs), water, lanes=lanes_as_drawn(site))
    assert found.area_m2.tolist() == [[20.0]]
    assert found.new_year.tolist() == [False, True, False]


numbers = st.floats(0.0, 1.0)


@given(fire=numbers, start=numbers, seed=st.integers(0, 10**6))
@settings(max_examples=40, deadline=None)
def test_no_use_and_no_lift_draws_the_fire_reserve(making, fire, start, seed):
    """Law: once above it, a closed tank never falls below its fire reserve."""
    rng = np.random.default_rng(seed)
    main = making.tank(500.0, "main", start_share=start, fire_reserve=Reserve(share=fire))
    site = making.site(
        tanks=(main, making.tank(80.0, "header")),
        lifts=(Lift("up", "main", "header"),),
        uses=(
            making.use(20.0, draws_from=("main",)),
            making.use(30.0, "garden", draws_from=("header", "main"), priority=2),
        ),
        rule=("yas", "ybs")[seed % 2],
    )
    rain = rng.exponential(8.0, 200) * (rng.random(200) < 0.2)
    wants = np.full((200, 2), [20.0, 30.0])
    found = run(arranged(making, site, runoff=rain, wants=wants), keep_lane=0)
    level, least = found.every_day.level_l[:, 0], fire * 500.0
    was = np.r_[start * 500.0, level[:-1]]
    assert (level >= np.minimum(was, least) - 1e-9).all()
