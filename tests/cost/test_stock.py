"""Cut lists: what is cut from which stock length."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from eavewell.cost.stock import cut, joints, spaced, split, stock_of
from eavewell.faults import OutOfRange

FT = 0.3048
quick = settings(max_examples=200, deadline=None)
stocks = st.floats(0.5, 200.0)


def test_sixty_two_feet_of_gutter_in_ten_foot_stock():
    lengths = split(62 * FT, 10 * FT)
    assert lengths == pytest.approx((*[10 * FT] * 6, 2 * FT))
    assert joints(62 * FT, 10 * FT) == 6


@pytest.mark.parametrize(("length_ft", "pieces"), [(0, 0), (9.5, 1), (10, 1), (60, 6), (100, 10)])
def test_whole_lengths_leave_no_sliver(length_ft, pieces):
    assert len(split(length_ft * FT, 10 * FT)) == pieces


@quick
@given(length_m=st.floats(0.0, 500.0), stock_m=stocks)
def test_a_run_is_as_long_as_its_cuts_and_no_cut_longer_than_the_stock(length_m, stock_m):
    lengths = split(length_m, stock_m)
    assert math.isclose(sum(lengths), length_m, rel_tol=1e-9, abs_tol=2e-6 * stock_m)
    assert all(0.0 < length <= stock_m for length in lengths)
    assert len(lengths) <= math.ceil(length_m / stock_m) + 1


@quick
@given(data=st.data(), stock_m=stocks)
def test_no_piece_is_overfull_with_the_saw_and_no_cut_is_lost(data, stock_m):
    lengths = data.draw(st.lists(st.floats(0.01, stock_m), max_size=40))
    pieces = cut(lengths, stock_m)
    saw_m = stock_of("saw")
    for piece in pieces:
        assert sum(piece) + (len(piece) - 1) * saw_m <= stock_m * (1.0 + 1e-9)
    assert sorted(length for piece in pieces for length in piece) == sorted(lengths)
    assert len(pieces) >= math.ceil(sum(lengths) / stock_m - 1e-9)


def test_the_saw_takes_its_share():
    """Two halves of ten feet do not come from ten feet; two cuts 3 mm shorter in all do."""
    half_m = 5 * FT
    assert len(cut([half_m, half_m], 10 * FT)) == 2
    assert len(cut([half_m, half_m - 0.0031], 10 * FT)) == 1


def test_short_ends_come_from_one_length():
    """Two gutters of 62 ft: twelve whole lengths, and both ends of 2 ft from the thirteenth."""
    lengths = split(62 * FT, 10 * FT) * 2
    assert [len(piece) for piece in cut(lengths, 10 * FT)] == [1] * 12 + [2]


def test_a_cut_longer_than_the_stock_is_refused():
    with pytest.raises(OutOfRange, match="longer than the stock"):
        cut([11 * FT], 10 * FT)
    with pytest.raises(OutOfRange):
        split(-1.0, 3.0)
    with pytest.raises(OutOfRange):
        split(1.0, 0.0)


@pytest.mark.parametrize(("length_ft", "hangers"), [(62, 32), (60, 31), (2, 2), (1, 2), (3, 3)])
def test_hangers_stand_at_both_ends_and_no_more_than_two_feet_apart(length_ft, hangers):
    assert spaced(length_ft * FT, 2 * FT) == hangers
