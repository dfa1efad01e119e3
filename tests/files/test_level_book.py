"""Common practice, no source: level books worked by hand; the browser reckons the same ones."""

import json
from math import sqrt
from pathlib import Path

import pytest

from eavewell.faults import EavewellFault
from eavewell.files.field.block import Block, readings, rod_m
from eavewell.files.field.levelling import Reading, allowed_misclosure_m, levelled

TOLD = json.loads(Path(__file__).with_name("level_books.json").read_text())
METRE = {"ft": 0.3048, "m": 1.0}


def _block(one):
    return Block("", True, rod=one.get("rod", "ft"), book=[tuple(line) for line in one["book"]])


@pytest.mark.parametrize("one", TOLD["books"], ids=lambda one: one["says"][:30])
def test_books_as_worked_by_hand(one):
    made, metre = levelled(readings(_block(one))), METRE[one["rod"]]
    assert made.instrument_m == pytest.approx([each * metre for each in one["heights"]], abs=1e-9)
    assert made.levels_m == pytest.approx([each * metre for each in one["levels"]], abs=1e-9)
    missed = None if one["missed"] is None else pytest.approx(one["missed"] * metre, abs=1e-9)
    assert made.misclosure_m == missed and made.closes is one["closes"]


@pytest.mark.parametrize("one", TOLD["wrong"], ids=lambda one: one["says"][:30])
def test_books_that_hang_nowhere(one):
    with pytest.raises(EavewellFault, match=one["says"]):
        levelled(readings(_block(one)))


@pytest.mark.parametrize(("typed", "unit", "metres"), TOLD["metres"])
def test_rod_readings(typed, unit, metres):
    assert rod_m(typed, unit=unit) == pytest.approx(metres, abs=1e-12)


def test_what_is_allowed_grows_with_the_root_of_the_set_ups():
    for count in (1, 2, 3, 9, 100):
        assert allowed_misclosure_m(count) == pytest.approx(0.010 * sqrt(count))


def test_backsights_less_foresights_is_what_a_loop_of_turns_misses():
    turns = [(1.2, 0.9), (2.4, 1.7), (0.3, 1.301)]
    book = [Reading("datum", back_m=turns[0][0])]
    for row, (back, _) in enumerate(turns[1:]):
        book.append(Reading(f"peg {row}", back_m=back, fore_m=turns[row][1]))
    book.append(Reading("datum", fore_m=turns[-1][1]))
    assert levelled(book).misclosure_m == pytest.approx(sum(b - f for b, f in turns), abs=1e-12)
