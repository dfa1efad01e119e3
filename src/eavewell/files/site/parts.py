"""A site file as parts: each table of it with its values read, its lines, and what is wrong."""

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from eavewell.faults import BadQuantity, Fault
from eavewell.files.site.field_values import near, value_of, written
from eavewell.files.site.fields import Field, Fields, fields
from eavewell.files.site.toml_lines import Address, nearest_line


@dataclass(slots=True)
class Sheet:
    """One file while it is read: where things stand in it, its fields, every fault so far."""

    file: str
    lines: Mapping[Address, int]
    faults: list[Fault] = field(default_factory=list)
    known: Fields = field(default_factory=fields)


@dataclass(frozen=True, slots=True)
class Spot:
    """One place in a sheet.

    where : what stands there, as a sentence calls it, such as "tank 'main'".
    """

    sheet: Sheet
    where: str = ""
    address: Address = ()

    def at(self, *steps: str | int, where: str = "") -> "Spot":
        """A place further in; `where` is joined to the name of this one."""
        joined = ", ".join(part for part in (self.where, where) if part)
        return Spot(self.sheet, joined, (*self.address, *steps))

    def fault(self, says: str) -> None:
        """Note one thing that is wrong here, with its line."""
        if not re.match("[a-z_]+:", says):
            says = says[:1].upper() + says[1:]
        line = nearest_line(self.sheet.lines, self.address)
        self.sheet.faults.append(
            Fault(says, self.where, self.sheet.file, line=line, address=self.address)
        )


@dataclass(frozen=True, slots=True)
class Part:
    """One table of a site file.

    values : every field of its section; None where it is not given or could not be read.
    given  : the fields that stand in the file, read or not. raw : as they are written.
    """

    section: str
    spot: Spot
    values: Mapping[str, Any]
    given: frozenset[str]
    raw: Mapping[str, object] = field(default_factory=dict)

    def __getitem__(self, name: str) -> Any:
        return self.values[name]

    def fault(self, says: str, name: str = "") -> None:
        """Note one thing that is wrong with this part, or with one field of it."""
        (self.spot.at(name) if name else self.spot).fault(says)

    def one_of(self, *names: str) -> str:
        """The one field given out of several; "" and a fault where it is not exactly one."""
        given = [name for name in names if name in self.given]
        if len(given) == 1:
            return given[0]
        if given:
            self.fault(f"both {' and '.join(given)} are given: keep one of them.", given[-1])
        else:
            self.fault(f"one of {', '.join(names)} is needed.")
        return ""


def read_part(raw: object, section: str, *, spot: Spot) -> Part:
    """Read one table by the fields of its section; faults go to the sheet of the spot."""
    known = spot.sheet.known[section]
    if not isinstance(raw, dict):
        spot.fault(f"{written(raw)} must be a table with its own fields.")
        nothing = {
            name: () if one.quantity.startswith("list ") else None for name, one in known.items()
        }
        return Part(section, spot, nothing, frozenset())
    spot = _named(raw, spot)
    for name in raw:
        if name not in known:
            spot.at(name).fault(f"'{name}' is not a field here: {near(name, tuple(known))}")
    values = {
        name: _value(raw[name], column, spot=spot.at(name))
        if name in raw
        else _left_out(column, spot)
        for name, column in known.items()
    }
    return Part(section, spot, values, frozenset(raw.keys() & known.keys()), raw)


def _named(raw: Mapping[str, object], spot: Spot) -> Spot:
    name = raw.get("name")
    if not isinstance(name, str) or not spot.where:
        return spot
    return Spot(spot.sheet, f"{spot.where.rstrip(' 0123456789')} {written(name)}", spot.address)


def _value(raw: object, column: Field, *, spot: Spot) -> Any:
    if column.quantity.startswith("list "):
        return _list(raw, column, spot=spot)
    if column.inner == "goals":
        return _goals(raw, spot)
    if column.inner:
        return read_part(raw, column.inner, spot=spot.at(where=column.name))
    try:
        return value_of(raw, column)
    except BadQuantity as refused:
        spot.fault(f"{column.name}: {refused.faults[0].says}")
        return None


def _left_out(column: Field, spot: Spot) -> Any:
    if column.required:
        meaning = column.meaning[:1].lower() + column.meaning[1:]
        spot.at(column.name).fault(f"the field {column.name} is missing: {meaning}")
    if column.quantity.startswith("list "):
        return ()
    if not column.otherwise:
        return None
    plain = column.quantity in ("count", "number", "yes or no")
    return value_of(json.loads(column.otherwise) if plain else column.otherwise, column)


def _list(raw: object, column: Field, *, spot: Spot) -> tuple[Part, ...]:
    if not isinstance(raw, list):
        top = f"[[{column.name}]]" if len(spot.address) == 1 else f"{column.name} = [{{ ... }}]"
        spot.fault(f"{column.name} must be a list: write {top}.")
        return ()
    return tuple(
        read_part(one, column.inner, spot=spot.at(row, where=f"{column.name} {row + 1}"))
        for row, one in enumerate(raw)
    )


def _goals(raw: object, spot: Spot) -> dict[str, Part]:
    if not isinstance(raw, dict):
        spot.fault("goal must be a table: one line for each use.")
        return {}
    return {
        name: read_part(goal, "goal", spot=spot.at(name, where=f"goal for {written(name)}"))
        for name, goal in raw.items()
    }
