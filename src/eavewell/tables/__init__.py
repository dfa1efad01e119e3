"""Published values: one csv a subject, one copy of each, every row with its source."""

import csv
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType

from eavewell.faults import BadTable


@dataclass(frozen=True, slots=True)
class Entry:
    """One published value with its range and its source.

    source : a key in sources.toml.
    place  : table, page or clause in that source.
    """

    name: str
    value: float
    low: float
    high: float
    unit: str
    source: str
    place: str


def rows(name: str) -> tuple[Mapping[str, str], ...]:
    """Read tables/<name>.csv as text rows; a row without a known source is refused."""
    return _rows(name)


@cache
def _rows(name: str) -> tuple[Mapping[str, str], ...]:
    text = files(__package__).joinpath(f"{name}.csv").read_text(encoding="utf-8")
    found = tuple(MappingProxyType(row) for row in csv.DictReader(text.splitlines()))
    for row in found:
        if row.get("source", "") not in sources() or not row.get("place"):
            raise BadTable(f"tables/{name}.csv: no known source for {dict(row)}.")
    return found


@cache
def table(name: str) -> Mapping[str, Entry]:
    """Read tables/<name>.csv as {row name: Entry}."""
    return MappingProxyType({row["name"]: _entry(row) for row in rows(name)})


@cache
def sources() -> Mapping[str, Mapping[str, str]]:
    """Every source by its key: title, year, mark (found, memory, computed, common practice)."""
    with files(__package__).joinpath("sources.toml").open("rb") as file:
        return MappingProxyType(tomllib.load(file))


def _entry(row: Mapping[str, str]) -> Entry:
    value, low, high = (float(row[key]) for key in ("value", "low", "high"))
    if not low <= value <= high:
        raise BadTable(f"table row {row['name']!r}: value {value} lies outside {low} to {high}.")
    return Entry(row["name"], value, low, high, row["unit"], row["source"], row["place"])
