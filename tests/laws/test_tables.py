"""Every published value stands in one table row that names its source and the place in it."""

import csv
import re
from collections import Counter
from pathlib import Path

import pytest

import eavewell
from eavewell.tables import rows, sources, table

HOME = Path(eavewell.__file__).parent
TABLES = HOME / "tables"
MARKS = {"found", "memory", "computed", "derived", "common practice", "invented"}
EVERY_CSV = sorted(TABLES.rglob("*.csv"))
NAMES = [
    name
    for file in EVERY_CSV
    if (name := file.relative_to(TABLES).with_suffix("").as_posix()) != "units"
    and not name.startswith(("fields/", "answers/", "words/"))
]
# What a row says; the other columns tell which row it is.
SAID = {"value", "low", "high", "unit", "source", "place", "published"}


def columns(file: Path) -> list[str]:
    return next(csv.reader(file.read_text(encoding="utf-8").splitlines()), [])


@pytest.mark.parametrize("name", NAMES)
def test_rows_have_sources_and_values_lie_in_their_range(name):
    assert rows(name)
    if {"name", "value", "low", "high", "unit"} <= set(columns(TABLES / f"{name}.csv")):
        assert all(entry.unit for entry in table(name).values())


@pytest.mark.parametrize("file", EVERY_CSV, ids=lambda file: file.stem)
def test_no_row_twice(file):
    found = list(csv.DictReader(file.read_text(encoding="utf-8").splitlines()))
    assert not any(None in row or None in row.values() for row in found), "a row of another width"
    told_apart_by = [column for column in columns(file) if column not in SAID]
    keys = Counter(tuple(row[column] for column in told_apart_by) for row in found)
    assert [key for key, count in keys.items() if count > 1] == []


@pytest.mark.parametrize("key", sorted(sources()))
def test_a_source_is_whole(key):
    source = sources()[key]
    assert source["title"]
    assert "year" in source
    assert source["mark"] in MARKS


def test_every_source_is_used():
    """In a table's source column, or named where the method stands."""
    files = [*EVERY_CSV, *HOME.rglob("*.py")]
    words = {w for file in files for w in re.findall(r"\w+", file.read_text(encoding="utf-8"))}
    assert sorted(set(sources()) - words - {"common_practice"}) == []
