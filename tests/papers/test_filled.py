"""Gaps in sentences: filled with what is known, told where something is not."""

import pytest

from eavewell.answers.shown import Sizes
from eavewell.papers.filled import at, filled, filled_as_known, holds, needed

US, METRIC = Sizes("us"), Sizes("metric")


def test_a_gap_takes_its_quantity_in_the_reader_s_units():
    thing = {"held_l": 3785.411784, "deep": {"level_m": -0.3048}}
    assert filled("{held_l:volume}", thing, sizes=US) == "1,000 gal"
    assert filled("{held_l:volume}", thing, sizes=METRIC) == "3,790 L"
    assert filled("at {deep.level_m:level}", thing, sizes=US) == "at -1 ft"


@pytest.mark.parametrize("value", [None, "", []])
def test_a_sentence_with_an_unknown_gap_is_none_or_says_so(value):
    assert filled("{a} and {b}", {"a": "x", "b": value}, sizes=US) is None
    assert filled_as_known("{a} and {b}", {"a": "x", "b": value}, sizes=US) == "x and unknown"
    assert filled("{a}", {}, sizes=US) is None


def test_nothing_is_a_figure_and_no_is_an_answer():
    assert filled("{a:whole} {b} {c}", {"a": 0, "b": False, "c": True}, sizes=US) == "0 no yes"


@pytest.mark.parametrize(
    ("seconds", "says"),
    [(7.4, "7 s"), (99.4, "99 s"), (100.2, "1 min 40 s"), (3601, "60 min 01 s")],
)
def test_seconds_as_a_stopwatch_reads(seconds, says):
    assert filled("{a:seconds}", {"a": seconds}, sizes=US) == says


def test_a_list_is_counted_from_nought():
    thing = {"a": [{"b": 1.0}, {"b": 2.0}], "names": ["x", "y"]}
    assert at("a.1.b", thing) == 2.0
    assert at("a.2.b", thing) is None
    assert filled("{names}", thing, sizes=US) == "x, y"


@pytest.mark.parametrize(
    ("needs", "true"),
    [
        ("", True),
        ("pump", True),
        ("not pump", False),
        ("kind=switch", True),
        ("kind=other", False),
        ("pump, not dry", True),
        ("pump, dry", False),
        ("missing", False),
    ],
)
def test_needs(needs, true):
    assert holds(needs, {"pump": "p", "kind": "switch", "dry": 0}) is true


def test_a_row_is_told_of_every_thing_that_it_holds_for():
    rows = ({"of": "tank", "needs": "deep"}, {"of": "roof", "needs": ""})
    found = {"tank": [{"deep": 1}, {"deep": 0}, {"deep": 2}], "roof": []}
    assert [thing["deep"] for _, thing in needed(rows, found)] == [1, 2]


def test_braces_in_a_name_are_only_letters():
    thing = {"name": "{held_l:volume} #let $x$", "held_l": 1.0}
    assert filled("of {name}", thing, sizes=US) == "of {held_l:volume} #let $x$"
