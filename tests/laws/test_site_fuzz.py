"""Whatever stands in a site file, the reader gives a site or sentences, never anything else."""

import tomllib

from hypothesis import given, settings
from hypothesis import strategies as st

from eavewell.faults import EavewellFault
from eavewell.files.site.fields import fields
from eavewell.files.site.new_site import STARTERS, starter_text
from eavewell.files.site.reader import read_site, site_of_text
from eavewell.site.site import Site

QUICK = settings(max_examples=120, deadline=None)
LINES = {like: starter_text(like).splitlines() for like in STARTERS}
WORDS = ["nan", "inf", "-1", "true", "[]", "{}", '""', '"5"', '"-3 ft"', '"main"', "[[1, 2]]"]
WORDS += [
    "1979-05-27",
    "9" * 400,
    '"1e999 m"',
    "[[]]",
    "[{}]",
    '"header"',
    "0",
    "'70 %'",
    "07:32:00",
]


def outcome(text):
    try:
        return site_of_text(text)
    except EavewellFault as refused:
        assert refused.faults
        assert all(fault.says.endswith((".", "?")) for fault in refused.faults)
        count = text.count("\n") + 1
        assert all(fault.line is None or 1 <= fault.line <= count for fault in refused.faults)
        return None


@given(st.binary(max_size=200))
@QUICK
def test_law_any_bytes(tmp_path_factory, data):
    file = tmp_path_factory.getbasetemp() / "any.toml"
    file.write_bytes(data)
    try:
        assert isinstance(read_site(file), Site)
    except EavewellFault as refused:
        assert str(refused)


@given(st.sampled_from(STARTERS), st.data())
@QUICK
def test_law_lines_dropped_doubled_and_moved(like, data):
    lines = list(LINES[like])
    for _ in range(data.draw(st.integers(1, 4))):
        row = data.draw(st.integers(0, len(lines) - 1))
        match data.draw(st.sampled_from(["drop", "double", "move"])):
            case "drop":
                del lines[row]
            case "double":
                lines.insert(row, lines[row])
            case _:
                lines.insert(data.draw(st.integers(0, len(lines) - 1)), lines.pop(row))
    outcome("\n".join(lines))


@given(st.sampled_from(STARTERS), st.data())
@QUICK
def test_law_values_garbled(like, data):
    lines = list(LINES[like])
    rows = [row for row, line in enumerate(lines) if " = " in line and line[:1] not in "#["]
    for row in data.draw(st.lists(st.sampled_from(rows), min_size=1, max_size=4)):
        key = lines[row].split(" = ")[0]
        lines[row] = f"{key} = {data.draw(st.sampled_from(WORDS))}"
    outcome("\n".join(lines))


@given(st.sampled_from(STARTERS), st.integers(0, 5000), st.text(max_size=4))
@QUICK
def test_law_letters_garbled(like, at, letters):
    text = starter_text(like)
    at %= len(text)
    outcome(text[:at] + letters + text[at + len(letters) :])


plain = st.one_of(
    st.text(st.characters(exclude_categories=["Cs"]), max_size=6),
    st.one_of(st.integers(), st.floats(), st.booleans()),
    st.one_of(st.dates(), st.times(), st.datetimes()),
    st.sampled_from(["5 ft", "3 gal", "70 %", "main", "metal", "2 ft x 3 ft"]),
)
names = sorted({name for known in fields().values() for name in known})
anything = st.recursive(
    plain,
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(names), inner, max_size=4)
    ),
    max_leaves=12,
)


@given(st.dictionaries(st.sampled_from(sorted(fields()["site"])), anything, max_size=8))
@QUICK
def test_law_any_tree(tree):
    text = "".join(f"{key} = {as_toml(value)}\n" for key, value in tree.items())
    tomllib.loads(text)
    outcome(text)


def as_toml(value):
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {as_toml(one)}" for key, one in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(as_toml(one) for one in value) + "]"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return '"' + "".join(f"\\U{ord(letter):08x}" for letter in value) + '"'
    if isinstance(value, (int, float)):
        return repr(value)
    return value.isoformat()
