"""The account around the engine: closing, shares, rows, alignment, threads."""

from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

from eavewell.faults import EavewellFault
from eavewell.storage import balance as accounts
from eavewell.storage.balance import BalanceBroken, aligned, row_counts, run


def _leaky(place, store, litres):
    """The engine with a fault planted: after the run, litres are gone from one place."""
    sound = accounts.run_days

    def run_days(part, state, *, sums, kept):
        sound(part, state, sums=sums, kept=kept)
        rows = {"level": state.level, "spilled": sums.spilled_l, "supplied": sums.supplied_l}
        rows[place][store, -1] -= litres

    return run_days


@pytest.mark.parametrize("place", ["level", "spilled", "supplied"])
@pytest.mark.parametrize("litres", [1.0, -1.0])
def test_water_made_or_lost_stops_the_run(arranging, monkeypatch, place, litres):
    parts = arranging.Parts(
        stores=[arranging.Store(100.0, 50.0)],
        roofs=[arranging.Roof([5.0, 80.0])],
        uses=[arranging.Use([10.0, 10.0])],
        lanes=3,
    )
    arrangement = arranging.arranged(parts)
    run(arrangement)
    monkeypatch.setattr(accounts, "run_days", _leaky(place, 0, litres))
    with pytest.raises(BalanceBroken, match="the water balance does not close: 1 L made or lost"):
        run(arrangement)


def test_a_broken_balance_is_a_fault_of_the_house():
    assert issubclass(BalanceBroken, EavewellFault)


def test_a_billionth_is_the_most_that_may_be_missing(arranging, monkeypatch):
    """1,000,000 L went in: 1e-9 of it is 0.001 L; half of that passes, twice does not."""
    parts = arranging.Parts(
        stores=[arranging.Store(2e6, 1e6)],
        roofs=[arranging.Roof([0.0])],
        uses=[arranging.Use([0.0])],
    )
    arrangement = arranging.arranged(parts)
    monkeypatch.setattr(accounts, "run_days", _leaky("level", 0, 0.0005))
    run(arrangement)
    monkeypatch.setattr(accounts, "run_days", _leaky("level", 0, 0.002))
    with pytest.raises(BalanceBroken):
        run(arrangement)


@pytest.mark.parametrize("seed", range(20))
def test_every_lane_closes(arranging, seed):
    balance = run(arranging.arranged(arranging.drawn(seed)))
    went_in = balance.start_l + balance.inflow_l + balance.hauled_l + balance.mains_l
    assert (np.abs(balance.error_l) <= 1e-9 * np.maximum(went_in, 1.0)).all()


def test_rows_are_counted_for_each_trace():
    """Trace 0 reads rows 0, 1, 1; trace 1 reads 2, 2, 2; row 3 is never read."""
    reads = np.array([[0, 2], [1, 2], [1, 2]], dtype=np.int32)
    assert row_counts(reads, 4).tolist() == [[1, 2, 0, 0], [0, 0, 3, 0]]


@pytest.mark.parametrize("shape", [(1,), (3, 200), (2, 3, 40), (4, 0), (0, 8)])
def test_a_new_array_starts_on_a_cache_line(shape):
    """64 bytes a line; filled with the value asked for, of the shape asked for."""
    array = aligned(shape, 7.0)
    assert array.shape == shape
    assert array.flags.c_contiguous
    assert (array == 7.0).all()
    assert array.size == 0 or array.ctypes.data % 64 == 0


def test_nothing_wanted_is_wholly_supplied(arranging):
    """A use that wants nothing has all its want: share 1, every day met; the other 10 of 40 L."""
    parts = arranging.Parts(
        stores=[arranging.Store(100.0, 10.0)],
        roofs=[arranging.Roof([0.0, 0.0])],
        uses=[arranging.Use([0.0, 0.0]), arranging.Use([20.0, 20.0])],
    )
    balance = run(arranging.arranged(parts))
    assert balance.use_supplied_share[:, 0].tolist() == [1.0, 0.25]
    assert balance.use_met_share[:, 0].tolist() == [1.0, 0.0]
    assert balance.supplied_share.tolist() == [0.25]
    assert balance.met_share.tolist() == [0.0]


def test_a_day_cut_for_two_uses_is_one_day(arranging):
    """Day 1 meets both, day 2 meets neither: half the days are met, for each and for all."""
    parts = arranging.Parts(
        stores=[arranging.Store(100.0, 40.0)],
        roofs=[arranging.Roof([0.0, 0.0])],
        uses=[arranging.Use([20.0, 20.0]), arranging.Use([20.0, 20.0])],
    )
    balance = run(arranging.arranged(parts))
    assert balance.use_met_share[:, 0].tolist() == [0.5, 0.5]
    assert balance.met_share.tolist() == [0.5]


def test_some_lanes_of_a_balance(arranging):
    balance = run(arranging.arranged(arranging.drawn(3, lanes=10)))
    some = balance.lanes(4, 7)
    np.testing.assert_array_equal(some.supplied_share, balance.supplied_share[4:7])
    np.testing.assert_array_equal(some.use_met_share, balance.use_met_share[:, 4:7])
    np.testing.assert_array_equal(some.error_l, balance.error_l[4:7])
    assert some.every_day is None


def test_the_arrangement_is_left_as_it_was(arranging):
    arrangement = arranging.arranged(arranging.drawn(11, lanes=6))
    before = [np.copy(array) for array in arrangement]
    run(arrangement, keep_lane=2)
    for ours, theirs in zip(arrangement, before, strict=True):
        np.testing.assert_array_equal(ours, theirs)


def test_balances_run_at_once_agree_with_one_after_another(arranging):
    """Eight at once, some of them with threads of their own."""
    lanes = (40, 300, 1200, 7, 1100, 256, 1, 600)
    all_parts = [arranging.drawn(n, lanes=width, days=80) for n, width in enumerate(lanes)]
    arrangements = [arranging.arranged(parts) for parts in all_parts]
    alone = [run(arrangement).sums for arrangement in arrangements]
    with ThreadPoolExecutor(8) as pool:
        together = list(pool.map(lambda each: run(each).sums, arrangements))
    for ours, theirs in zip(together, alone, strict=True):
        for mine, other in zip(ours, theirs, strict=True):
            np.testing.assert_array_equal(mine, other)
