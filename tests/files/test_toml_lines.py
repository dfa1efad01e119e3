"""The line of every key, counted by eye in the texts below."""

import tomllib

from hypothesis import given, settings
from hypothesis import strategies as st

from eavewell.files.site.new_site import STARTERS, starter_text
from eavewell.files.site.toml_lines import lines_of, nearest_line

TEXT = '''# a note with [[brackets]] and = signs
name = "a # b"

[place]
latitude = 30.9   # [not.a.table]
"quoted key" = 'x = 1'
[[roof]]
name = "one"
plane = [
  { name = "n", plan = "1 ft x 2 ft" },   # [ ] { }
  { name = "s",
    plan = "3 ft x 4 ft" },
]
[[roof]]
name = """two
lines"""
snow.catch = "50 %"
[roof.first_flush]
depth = "1 mm"
[[use]]
dates = [[2024-12-20, 2025-01-02],
         [2025-07-01, 2025-07-02]]
'''


def test_every_kind_of_key_has_its_line():
    lines = lines_of(TEXT)
    expected = {
        ("name",): 2,
        ("place",): 4,
        ("place", "latitude"): 5,
        ("place", "quoted key"): 6,
        ("roof",): 7,
        ("roof", 0): 7,
        ("roof", 0, "plane", 0, "plan"): 10,
        ("roof", 0, "plane", 1, "name"): 11,
        ("roof", 0, "plane", 1, "plan"): 12,
        ("roof", 1): 14,
        ("roof", 1, "name"): 15,
        ("roof", 1, "snow", "catch"): 17,
        ("roof", 1, "first_flush"): 18,
        ("roof", 1, "first_flush", "depth"): 19,
        ("use", 0, "dates"): 21,
        ("use", 0, "dates", 1, 0): 22,
    }
    assert {address: lines.get(address) for address in expected} == expected


def test_what_has_no_line_takes_the_nearest():
    lines = lines_of(TEXT)
    assert nearest_line(lines, ("roof", 1, "finish")) == 14
    assert nearest_line(lines, ("goal",)) is None


def addresses(value, way=()):
    items = value.items() if isinstance(value, dict) else enumerate(value)
    for step, inner in items:
        yield (*way, step)
        if isinstance(inner, (dict, list)):
            yield from addresses(inner, (*way, step))


def test_nothing_in_the_starters_is_missed():
    for like in STARTERS:
        text = starter_text(like)
        assert set(addresses(tomllib.loads(text))) <= set(lines_of(text))


@given(st.text(max_size=80))
@settings(max_examples=300, deadline=None)
def test_any_toml_is_scanned(text):
    try:
        raw = tomllib.loads(text)
    except ValueError:
        return
    assert set(addresses(raw)) <= set(lines_of(text))
