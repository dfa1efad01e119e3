"""Every field of the site file, an authority's and a district's, as in tables/fields/."""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from eavewell.tables import rows


@dataclass(frozen=True, slots=True)
class Field:
    """One field of the site file or of an authority's file.

    section   : such as "roof" or "roof.snow"; "site" is the top of the file.
    quantity  : a quantity of units.py, or a kind of value read in field_values.py.
    low, high : limits in the internal unit of the quantity; None for none.
    choices   : the words allowed, in the table the names in the first column of another table;
                empty for any.
    refers    : the lists of the site file whose parts it names, such as "tank|sump"; between
                quotation marks where it says "tank 'main'". fact : how its value reads in the
                line that sums its part up, such as "{} across"; empty where it is no such fact.
    otherwise : the value used where the field is left out; "" where it then stays unknown.
    """

    section: str
    name: str
    quantity: str
    required: bool
    low: float | None
    high: float | None
    choices: tuple[str, ...]
    otherwise: str
    label: str
    meaning: str
    refers: str = ""
    fact: str = ""

    @property
    def inner(self) -> str:
        """The section of a nested table or list of tables; "" for a plain value."""
        kind, _, section = self.quantity.partition(" ")
        return section if kind in ("table", "list") else ""


Fields = Mapping[str, Mapping[str, Field]]


@cache
def fields() -> Fields:
    """Every field of the site file by section and name."""
    return _fields_in("fields")


@cache
def authority_fields() -> Fields:
    """Every field of an authority's file by section and name."""
    return _fields_in("fields", "authority")


@cache
def district_fields() -> Fields:
    """Every field of a district's file by section and name."""
    return _fields_in("fields", "district")


def _fields_in(*folders: str) -> Fields:
    found: dict[str, dict[str, Field]] = {}
    folder = files("eavewell.tables").joinpath(*folders)
    told = [
        (row["section"].partition(".")[0] + ".csv" != file.name, row)
        for file in sorted(folder.iterdir(), key=lambda entry: entry.name)
        if file.name.endswith(".csv")
        for row in csv.DictReader(file.read_text(encoding="utf-8").splitlines())
    ]
    # what the table of a part says first stands first, then what other tables add to it
    for _, row in sorted(told, key=lambda one: one[0]):
        found.setdefault(row["section"], {})[row["field"]] = _field(row)
    return found


def _field(row: Mapping[str, str]) -> Field:
    return Field(
        section=row["section"],
        name=row["field"],
        quantity=row["quantity"],
        required=row["required"] == "yes",
        low=float(row["low"]) if row["low"] else None,
        high=float(row["high"]) if row["high"] else None,
        choices=_choices(row["choices"]),
        otherwise=row["otherwise"],
        label=row["label"],
        meaning=row["meaning"],
        refers=row.get("refers") or "",
        fact=row.get("fact") or "",
    )


def _choices(text: str) -> tuple[str, ...]:
    if text.endswith(".csv"):
        names = (next(iter(row.values())) for row in rows(text.removesuffix(".csv")))
        return tuple(dict.fromkeys(names))
    return tuple(text.split("|")) if text else ()
