"""Whatever is edited in a site file, the rest of its text and of what it says stays."""

import copy
import re
import tomllib
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from eavewell.files.site.edit import changed_text
from eavewell.files.site.edit_parts import moved_part, with_part, without_part
from eavewell.files.site.toml_values import value_text

EXAMPLES = {
    one.parent.name: one.read_text(encoding="utf-8")
    for one in sorted((Path(__file__).parents[2] / "examples").glob("*/site.toml"))
}
VALUES = st.one_of(
    st.text(max_size=12).filter(lambda one: "\r" not in one),
    st.integers(-(10**9), 10**9),
    st.booleans(),
    st.floats(allow_nan=False, allow_infinity=False),
    st.lists(st.lists(st.sampled_from(["05-15", "3 ft"]), min_size=2, max_size=2), max_size=3),
    st.dates(),
    st.dictionaries(st.text(max_size=5), st.integers(0, 9), max_size=2),
)
STEPS = st.lists(
    st.tuples(
        st.sampled_from(["set", "add", "clear", "with", "without", "move"]),
        st.integers(0, 10**6),
        st.integers(0, 5),
        VALUES,
    ),
    min_size=1,
    max_size=8,
)


@given(example=st.sampled_from(sorted(EXAMPLES)), steps=STEPS)
@settings(max_examples=80, deadline=None)
def test_any_row_of_edits_keeps_all_other_values_and_comments(example, steps):
    text = EXAMPLES[example]
    raw = tomllib.loads(text)
    for kind, pick, other, value in steps:
        before = text
        ways = list(_ways(raw, kind))
        if not ways:
            continue
        way = ways[pick % len(ways)]
        text, raw = _edited(text, raw, kind, way=way, other=other, value=value)
        assert tomllib.loads(text) == raw
        lost = _comments(before) - _comments(text)
        assert not _comments(text) - _comments(before)
        if kind in ("set", "add", "with", "move"):
            assert not lost
        if kind == "clear":
            assert lost.total() <= 1


def test_a_part_takes_its_own_comments_and_no_other():
    text = (
        "# the file\n\n[[tank]] # one\nname = 'a' # its name\n# below\n\n"
        "# loose\n\n# of two\n[[tank]]\n"
    )
    assert without_part(text, ("tank", 0)) == "# the file\n\n# loose\n\n# of two\n[[tank]]\n"
    assert without_part(text, ("tank", 1)).endswith("# below\n\n# loose\n\n")


def test_an_item_of_a_list_in_brackets_takes_its_own_comments_and_no_other():
    text = (
        "x = [ # both\n  # of one\n  { a = 1 }, # one\n  # of two\n  { a = 2 } # two\n  # end\n]\n"
    )
    assert (
        without_part(text, ("x", 0)) == "x = [ # both\n  # of two\n  { a = 2 } # two\n  # end\n]\n"
    )
    assert "of one" in (left := without_part(text, ("x", 1))) and "two" not in left
    moved = moved_part(text, ("x", 1), to=0)
    assert [one["a"] for one in tomllib.loads(moved)["x"]] == [2, 1]
    assert moved.index("# of two") < moved.index("a = 2") < moved.index("# of one")


@pytest.mark.parametrize("example", sorted(EXAMPLES))
def test_a_field_set_to_what_it_says_changes_no_letter(example):
    text = EXAMPLES[example]
    for way, value in _leaves(tomllib.loads(text)):
        if value_text(value) in text:
            assert changed_text(text, way, value=value) == text


def test_line_ends_of_another_system_stay():
    text = EXAMPLES["barrels"].replace("\n", "\r\n")
    now = changed_text(text, ("place", "latitude"), value=12.5)
    assert now.count("\r\n") == now.count("\n") == text.count("\n")


def test_tables_on_the_way_are_made():
    assert tomllib.loads(changed_text("name = 'x'", ("place", "latitude"), value=3.5)) == {
        "name": "x",
        "place": {"latitude": 3.5},
    }
    text = "[[tank]]\n[[tank.deep.list]]\n[[tank]]\n[a]\nb.c = 1\n"
    for way in (("tank", 0, "deep", "x"), ("tank", 0, "link", "size"), ("a", "b", "d")):
        now = tomllib.loads(changed_text(text, way, value="6 in"))
        expected = tomllib.loads(text)
        _put(expected, way, "6 in")
        assert now == expected


def _comments(text):
    return Counter(re.findall(r"#[^\n]*", re.sub(r'"(?:\\.|[^"\\\n])*"', '""', text)))


def _leaves(value, way=()):
    if isinstance(value, dict):
        for key, one in value.items():
            yield from _leaves(one, (*way, key))
    elif isinstance(value, list) and value and isinstance(value[0], dict):
        for row, one in enumerate(value):
            yield from _leaves(one, (*way, row))
    else:
        yield way, value


def _tables(value, way=()):
    yield way
    for key, one in value.items():
        if isinstance(one, dict):
            yield from _tables(one, (*way, key))
        elif isinstance(one, list) and one and isinstance(one[0], dict):
            for row, item in enumerate(one):
                if isinstance(item, dict):
                    yield from _tables(item, (*way, key, row))


def _ways(raw, kind):
    if kind in ("set", "clear"):
        return [way for way, _ in _leaves(raw) if isinstance(way[-1], str)]
    if kind == "add":
        return [(*way, "brand new") for way in _tables(raw)]
    lists = [way for way in _tables(raw) if way and isinstance(way[-1], int)]
    if kind == "with":
        return [
            *dict.fromkeys(way[:-1] for way in lists),
            *((*way, "fresh") for way in _tables(raw)),
        ]
    return lists


def _at(raw, way):
    for step in way:
        raw = raw[step]
    return raw


def _put(raw, way, value):
    for step in way[:-1]:
        raw = raw.setdefault(step, {}) if isinstance(step, str) else raw[step]
    raw[way[-1]] = value


def _edited(text, raw, kind, *, way, other, value):
    raw = copy.deepcopy(raw)
    if kind in ("set", "add"):
        if isinstance(_at(raw, way[:-1]).get(way[-1]), dict):
            return text, raw
        _put(raw, way, value)
        return changed_text(text, way, value=value), raw
    if kind == "clear":
        return changed_text(text, way, value=None), _cleared(text, raw, way)
    if kind == "with":
        if not isinstance(_at(raw, way[:-1]).get(way[-1], []), list):
            return text, raw
        _at(raw, way[:-1]).setdefault(way[-1], []).append({"name": "new", "more": value})
        now, at = with_part(text, way, fields={"name": "new", "more": value})
        assert _at(raw, at)["name"] == "new"
        return now, raw
    return _without_or_moved(text, raw, kind, way=way, other=other)


def _without_or_moved(text, raw, kind, *, way, other):
    items = _at(raw, way[:-1])
    if kind == "without":
        now = without_part(text, way)
        del items[way[-1]]
        if not items and _at_or_none(tomllib.loads(now), way[:-1]) is None:
            _drop(raw, way[:-1], now)
        return now, raw
    to = other % len(items)
    items.insert(to, items.pop(way[-1]))
    return moved_part(text, way, to=to), raw


def _at_or_none(raw, way):
    try:
        return _at(raw, way)
    except (KeyError, IndexError):
        return None


def _drop(raw, way, now):
    """A list that is empty goes, and tables that were there only for it."""
    told = tomllib.loads(now)
    while way and isinstance(way[-1], str) and _at_or_none(told, way) is None:
        del _at(raw, way[:-1])[way[-1]]
        way = way[:-1]
        if _at(raw, way):
            break


def _cleared(text, raw, way):
    """The field goes; tables that stand between braces and are left empty go with it."""
    now = tomllib.loads(changed_text(text, way, value=None))
    del _at(raw, way[:-1])[way[-1]]
    way = way[:-1]
    while way and isinstance(way[-1], str) and not _at(raw, way) and _at_or_none(now, way) is None:
        del _at(raw, way[:-1])[way[-1]]
        way = way[:-1]
    return raw
