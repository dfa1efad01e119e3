"""The engine against a slow loop of dicts and floats, on arrangements drawn at random."""

import numpy as np
import pytest

from eavewell.storage.balance import run
from eavewell.storage.lanes import NOWHERE

CLOSE = {"rtol": 1e-9, "atol": 1e-7}


def _assert_lane_agrees(slow_day_loop, arrangement, balance, *, lane):
    loop = slow_day_loop.SlowDayLoop(arrangement, lane).run()
    for name, values in slow_day_loop.sums(loop).items():
        ours = getattr(balance.sums, name)[..., lane]
        np.testing.assert_allclose(np.atleast_1d(ours), values, **CLOSE, err_msg=name)
    end = [loop.level[k] for k in loop.stores]
    np.testing.assert_allclose(balance.end_l[:, lane], end, **CLOSE)
    return loop


@pytest.mark.parametrize("seed", range(120))
def test_agrees_with_the_slow_loop_in_every_lane(arranging, slow_day_loop, seed):
    arrangement = arranging.arranged(arranging.drawn(seed))
    balance = run(arrangement)
    lanes = arrangement.capacity_l.shape[1]
    for lane in {0, lanes // 2, lanes - 1}:
        _assert_lane_agrees(slow_day_loop, arrangement, balance, lane=lane)


@pytest.mark.parametrize("lanes", [257, 513, 1025, 1500])
def test_agrees_across_pieces_and_threads(arranging, slow_day_loop, lanes):
    arrangement = arranging.arranged(arranging.drawn(1000 + lanes, lanes=lanes, days=60))
    balance = run(arrangement)
    for lane in (0, 255, 256, lanes - 1):
        _assert_lane_agrees(slow_day_loop, arrangement, balance, lane=lane)


_EVERY_DAY = {
    "level_l": "level",
    "spilled_l": "spilled",
    "lost_l": "lost",
    "lifted_l": "lifted",
    "planned_l": "planned",
    "supplied_l": "supplied",
    "loads": "loads",
}


@pytest.mark.parametrize("seed", range(300, 340))
def test_the_kept_lane_is_the_slow_loop_day_by_day(arranging, slow_day_loop, seed):
    arrangement = arranging.arranged(arranging.drawn(seed, lanes=5))
    balance = run(arrangement, keep_lane=3)
    loop = _assert_lane_agrees(slow_day_loop, arrangement, balance, lane=3)
    for ours, theirs in _EVERY_DAY.items():
        kept = getattr(balance.every_day, ours)
        slow = [
            [getattr(day, theirs).get(n, 0.0) for n in range(kept.shape[1])] for day in loop.days
        ]
        np.testing.assert_allclose(kept, np.array(slow).reshape(kept.shape), **CLOSE, err_msg=ours)


@pytest.mark.parametrize(
    ("seed", "lanes", "lane"), [(400, 3, 1), (401, 300, 280), (402, 1100, 700)]
)
def test_the_kept_lane_adds_up_to_the_sums(arranging, seed, lanes, lane):
    arrangement = arranging.arranged(arranging.drawn(seed, lanes=lanes, days=90))
    balance = run(arrangement, keep_lane=lane)
    for name in ("spilled_l", "lost_l", "lifted_l", "supplied_l", "loads"):
        kept = getattr(balance.every_day, name).sum(axis=0)
        np.testing.assert_allclose(kept, getattr(balance.sums, name)[:, lane], **CLOSE)
    np.testing.assert_allclose(balance.every_day.level_l[-1], balance.end_l[:, lane], **CLOSE)


def test_keeping_a_lane_changes_no_sum(arranging):
    arrangement = arranging.arranged(arranging.drawn(77, lanes=40))
    with_days, without = run(arrangement, keep_lane=7), run(arrangement)
    for ours, theirs in zip(with_days.sums, without.sums, strict=True):
        np.testing.assert_array_equal(ours, theirs)


def _one_store(arranging, seed, *, lifts=()):
    rng = np.random.default_rng(seed)
    lanes, days = 40, 300
    rain = rng.gamma(0.7, 9.0, days) * (rng.random(days) < 0.2)
    capacity = rng.uniform(0.0, 900.0, lanes)
    use = arranging.Use(
        demand_l=rng.uniform(0.0, 60.0, days) * (rng.random(days) < 0.8),
        scale=rng.uniform(0.0, 2.0, lanes),
        reserve_l={0: rng.uniform(0.0, 90.0, lanes)},
    )
    return arranging.Parts(
        stores=[arranging.Store(capacity, rng.random(lanes) * capacity)],
        roofs=[arranging.Roof(rain, rng.uniform(5.0, 30.0, lanes))],
        uses=[use],
        lifts=lifts,
        rule=("yas", "ybs")[seed % 2],
        lanes=lanes,
    )


@pytest.mark.parametrize("seed", range(20))
def test_the_plain_path_is_the_general_path(arranging, slow_day_loop, seed):
    """A mains valve that passes nothing puts the same store on the general path."""
    shut = arranging.Lift(NOWHERE, 0, 1.0, limit_l=0.0)
    plain = arranging.arranged(_one_store(arranging, seed))
    general = arranging.arranged(_one_store(arranging, seed, lifts=[shut]))
    ours, theirs = run(plain), run(general)
    for name in ("spilled_l", "supplied_l", "short_days", "longest_short_days", "cut_days"):
        np.testing.assert_array_equal(getattr(ours.sums, name), getattr(theirs.sums, name))
    np.testing.assert_array_equal(ours.end_l, theirs.end_l)
    _assert_lane_agrees(slow_day_loop, plain, ours, lane=seed)


def test_lanes_do_not_know_of_each_other(arranging):
    """A lane run alone is the lane run in company, to the last bit."""
    arrangement = arranging.arranged(arranging.drawn(55, lanes=300, days=80))
    together = run(arrangement)
    order = np.random.default_rng(1).permutation(300)
    mixed = arrangement._replace(
        **{
            name: getattr(arrangement, name)[..., order]
            for name in type(arrangement)._fields
            if np.ndim(getattr(arrangement, name)) > 1
            and getattr(arrangement, name).shape[-1] == 300
        }
    )
    for ours, theirs in zip(run(mixed).sums, together.sums, strict=True):
        np.testing.assert_array_equal(ours, theirs[..., order])
