"""Where words stand: pooled gaps against a search, clipping against sampled points."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from eavewell.drawings.boxes import Box, Taken, box_of, free_place, spread
from eavewell.drawings.letters import width_mm
from eavewell.drawings.marks import Text
from eavewell.drawings.straights import NONE, Straights

places = st.floats(-50.0, 50.0)
UNIT = Box(0.0, 0.0, 1.0, 1.0)


@given(st.lists(places, min_size=1, max_size=12), st.floats(0.1, 8.0))
def test_words_keep_their_gap_and_their_order(wanted, gap):
    found = spread(wanted, gap)
    order = sorted(range(len(wanted)), key=lambda at: wanted[at])
    for one, other in pairwise(order):
        assert found[other] - found[one] >= gap - 1e-9


@given(st.lists(places, min_size=2, max_size=6), st.floats(0.5, 5.0), st.integers(0, 2**32 - 1))
def test_no_other_places_are_nearer_to_what_is_wanted(wanted, gap, seed):
    # least squares: any other row of places that keeps order and gap is no nearer
    import random

    found = spread(wanted, gap)
    dice = random.Random(seed)
    order = sorted(range(len(wanted)), key=lambda at: wanted[at])
    away = sum((one - other) ** 2 for one, other in zip(wanted, found, strict=True))
    for _ in range(20):
        moved, last = [0.0] * len(wanted), None
        for at in order:
            place = found[at] + dice.uniform(-1.0, 1.0)
            moved[at] = place if last is None else max(place, last + gap)
            last = moved[at]
        assert sum((a - b) ** 2 for a, b in zip(wanted, moved, strict=True)) >= away - 1e-9


def test_what_has_room_stays_where_it_is_wanted():
    assert spread([0.0, 10.0, 20.0], 4.0) == [0.0, 10.0, 20.0]
    # two at one place share the gap; a third is pushed as little as it must
    assert spread([5.0, 5.0], 4.0) == [3.0, 7.0]


@given(places, places, places, places)
def test_a_line_through_a_box_is_one_with_a_point_inside(a, b, c, d):
    crossed = UNIT.crossed_by((a / 20, b / 20), (c / 20, d / 20))
    steps = [at / 400 for at in range(401)]
    inside = any(
        0.001 < (a + (c - a) * t) / 20 < 0.999 and 0.001 < (b + (d - b) * t) / 20 < 0.999
        for t in steps
    )
    if inside:
        assert crossed


def test_lines_that_pass_by():
    assert not UNIT.crossed_by((-1.0, -0.1), (2.0, -0.1))
    assert not UNIT.crossed_by((0.0, 2.0), (2.0, 0.0))
    assert UNIT.crossed_by((0.0, 1.5), (1.5, 0.0))
    assert UNIT.crossed_by((0.5, -1.0), (0.5, 2.0))


@pytest.mark.parametrize(("anchor", "left"), [("left", 0.0), ("middle", 0.5), ("right", 1.0)])
def test_the_box_of_words(anchor, left):
    text = Text("text", (0.0, 0.0), "overflow", 2.0, anchor)
    wide = width_mm("overflow", 2.0, weight="Medium")
    box = box_of(text, (10.0, 20.0))
    assert box.left == pytest.approx(10.0 - left * wide)
    assert box.right - box.left == pytest.approx(wide)
    # a capital of 2 mm stands on the base line at 20
    assert box.low < 20.0
    assert box.high > 22.0


def test_a_free_place_stands_on_nothing():
    line = ((-5.0, 0.0), (5.0, 0.0))
    taken = Taken((Box(-3.0, 0.5, 3.0, 4.0),), Straights.of([line]))
    box = free_place((0.0, 0.0), (8.0, 3.0), taken=taken, within=Box(-60.0, -60.0, 60.0, 60.0))
    assert box is not None
    assert not taken.holds(box, gap=0.0)
    full = Taken((Box(-90.0, -90.0, 90.0, 90.0),), NONE)
    assert free_place((0.0, 0.0), (8.0, 3.0), taken=full, within=UNIT) is None
