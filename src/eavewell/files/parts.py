"""A site file as parts: each table of it with its values read, its lines, and what is wrong."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from eavewell.faults import BadQuantity, Fault
from eavewell.files.field_values import near, value_of, written
from eavewell.files.fields import Field, fields
from eavewell.files.toml_lines import Address, nearest_line


@dataclass(slots=True)
class Sheet:
    """One site file while it is read: where things stand in it and every fault so far."""

    file: str
    lines: Mapping[Address, int]
    faults: list[Fault] = field(default_factory=list)

    def fault(self, says: str, where: str, address: Address) -> None:
        """Note one thing that is wrong, with its line."""
        says = says[:1].upper() + says[1:]
        self.faults.append(Fault(says, where, self.file, nearest_line(self.lines, address)))


@dataclass(frozen=True, slots=True)
class Part:
    """One table of a site file.

    where  : what it is called in a sentence, such as "tank 'main'".
    values : every field of its section; None where it is not given or could not be read.
    given  : the fields that stand in the file, read or not.
    """

    section: str
    where: str
    address: Address
    sheet: Sheet
    values: Mapping[str, Any]
    given: frozenset[str]

    def __getitem__(self, name: str) -> Any:
        return self.values[name]

    def fault(self, says: str, name: str = "") -> None:
        """Note one thing that is wrong with this part, or with one field of it."""
        address = (*self.address, name) if name else self.address
        self.sheet.fault(says, self.where, address)

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


def read_part(raw: object, section: str, where: str, address: Address, sheet: Sheet) -> Part:
    """Read one table by the fields of its section; faults go to the sheet."""
    known = fields()[section]
    if not isinstance(raw, dict):
        sheet.fault(f"{written(raw)} must be a table with its own fields.", where, address)
        return Part(section, where, address, sheet, dict.fromkeys(known), frozenset())
    where = _named(raw, where)
    for name in raw:
        if name not in known:
            says = f"'{name}' is not a field here: {near(name, tuple(known))}"
            sheet.fault(says, where, (*address, name))
    values = {}
    for name, column in known.items():
        if name in raw:
            values[name] = _value(raw[name], column, where, (*address, name), sheet)
        else:
            values[name] = _left_out(column, where, address, sheet)
    return Part(section, where, address, sheet, values, frozenset(raw.keys() & known.keys()))


def _named(raw: Mapping[str, object], where: str) -> str:
    name = raw.get("name")
    if not isinstance(name, str) or not where:
        return where
    return f"{where.rsplit(' ', 1)[0] if where[-1].isdigit() else where} {written(name)}"


def _value(raw: object, column: Field, where: str, address: Address, sheet: Sheet) -> Any:
    if column.quantity.startswith("list "):
        return _list(raw, column, where, address, sheet)
    if column.inner == "goals":
        return _goals(raw, address, sheet)
    if column.inner:
        return read_part(raw, column.inner, _inside(where, column.name), address, sheet)
    try:
        return value_of(raw, column)
    except BadQuantity as refused:
        says = f"{column.name}: {refused.faults[0].says}"
        sheet.fault(says, where, address)
        return None


def _left_out(column: Field, where: str, address: Address, sheet: Sheet) -> Any:
    if column.required:
        meaning = column.meaning[:1].lower() + column.meaning[1:]
        sheet.fault(f"{column.name} is missing: {meaning}", where, address)
    if column.quantity.startswith("list "):
        return ()
    if not column.otherwise:
        return None
    plain = column.quantity in ("count", "yes or no")
    return value_of(json.loads(column.otherwise) if plain else column.otherwise, column)


def _list(
    raw: object, column: Field, where: str, address: Address, sheet: Sheet
) -> tuple[Part, ...]:
    if not isinstance(raw, list):
        top = f"[[{column.name}]]" if len(address) == 1 else f"{column.name} = [{{ ... }}]"
        sheet.fault(f"{column.name} must be a list: write {top}.", where, address)
        return ()
    return tuple(
        read_part(
            one, column.inner, _inside(where, f"{column.name} {row + 1}"), (*address, row), sheet
        )
        for row, one in enumerate(raw)
    )


def _goals(raw: object, address: Address, sheet: Sheet) -> dict[str, Part]:
    if not isinstance(raw, dict):
        sheet.fault("goal must be a table: one line for each use.", "", address)
        return {}
    return {
        name: read_part(goal, "goal", f"goal for {written(name)}", (*address, name), sheet)
        for name, goal in raw.items()
    }


def _inside(where: str, word: str) -> str:
    return f"{where}, {word}" if where else word
