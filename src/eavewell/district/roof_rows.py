"""The roofs of a table, row by row: what is good is kept as columns, what is bad has its reason."""

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from eavewell.district.blocks import OUTLINE, Block, blocks
from eavewell.faults import BadQuantity, BadRoofs, Fault
from eavewell.files.site.field_values import near
from eavewell.site.district import District
from eavewell.site.rain_record import FloatArray
from eavewell.tables import table
from eavewell.units import read, show

# columns that are read, and the other headings they go by
_KNOWN: Mapping[str, tuple[str, ...]] = {
    "id": (),
    "latitude": ("lat",),
    "longitude": ("lon", "long", "lng"),
    "area": ("plan_area",),
    "elevation": (),
    "finish": (),
    "people": (),
    "use_set": (),
    "district": (),
    OUTLINE: (),
}
_SIZED = {"area": "area", "elevation": "length"}
_WITH_UNIT = re.compile(r"(?P<name>[a-z_]+?)_?[\[(]?(?P<unit>[a-z]+[23²]?)[\])]?")
_NUMBER = re.compile(r"[-+]?(\d+(\.\d*)?|\.\d+)(e[-+]?\d+)?", re.IGNORECASE)
_THOUSANDS = re.compile(r"[-+]?\d{1,3}(,\d{3})+(\.\d*)?")
_DECIMAL_COMMA = re.compile(r"[-+]?\d+,\d+")
_NAMED = {"people": "number of people"}
TURNED = "are latitude and longitude the wrong way round?"
LARGEST_ROOF_M2 = 1e6
# as in a site file
LOWEST_M, HIGHEST_M = -450.0, 9000.0


@dataclass(frozen=True, slots=True)
class BadRow:
    """A row that is not screened, and why."""

    row: int
    id: str
    reason: str


@dataclass(frozen=True, slots=True, eq=False)
class Roofs:
    """The good rows of a table as columns, each of shape (roof,).

    row : number in the table, from 1. finish, use_set, district : words.
    elevation_m : NaN where unknown. people : 0 where the use set needs none.
    """

    row: NDArray[np.int64]
    id: NDArray[np.object_]
    latitude: FloatArray
    longitude: FloatArray
    elevation_m: FloatArray
    area_m2: FloatArray
    finish: NDArray[np.object_]
    use_set: NDArray[np.object_]
    people: FloatArray
    district: NDArray[np.object_]

    @property
    def count(self) -> int:
        """Number of roofs."""
        return int(self.row.size)

    def at(self, chosen: Any) -> "Roofs":
        """The roofs of an index array, a mask or a slice."""
        return Roofs(*(getattr(self, name)[chosen] for name in self.__slots__))


@dataclass(frozen=True, slots=True)
class RoofTable:
    """A table read whole.

    rows : of the table. aside : headings of columns that are not read.
    """

    roofs: Roofs
    bad: tuple[BadRow, ...]
    rows: int
    aside: tuple[str, ...]


def read_roofs(path: Path, district: District) -> RoofTable:
    """Read a table of roofs; what the table does not tell is as usual in the district.

    Raises BadRoofs with every fault of the table as such: what is wrong with a row stands in `bad`.
    """
    seen: dict[str, int] = {}
    good: list[Roofs] = []
    bad: list[BadRow] = []
    rows, columns = 0, Columns({}, {}, ())
    for block in blocks(path):
        if block.first == 1 or set(block.columns) - set(columns.headings):
            columns = columns_of(tuple(block.columns), district, file=str(path))
        checked = _Checked(district, block, columns, seen)
        good.append(checked.roofs())
        bad += checked.bad
        rows += block.rows
    return RoofTable(_joined(good), tuple(bad), rows, columns.aside)


def _joined(parts: list[Roofs]) -> Roofs:
    return Roofs(*(np.concatenate([getattr(p, name) for p in parts]) for name in Roofs.__slots__))


@dataclass(frozen=True, slots=True)
class Columns:
    """Which heading tells what. units : of the numbers below a heading that names one."""

    headings: Mapping[str, str]
    units: Mapping[str, str]
    aside: tuple[str, ...]


def columns_of(names: Sequence[str], district: District, *, file: str) -> Columns:
    """Match the headings of a table; BadRoofs with every one that is missing or told twice."""
    headings, units, faults = dict[str, str](), dict[str, str](), list[str]()
    for name in names:
        known, unit = _matched(name)
        if not known:
            continue
        if known in headings.values():
            faults.append(f"Two columns tell the {known}: leave one of them out.")
        headings[name] = known
        if unit:
            units[known] = unit
    faults += _missing(set(headings.values()), district, names=names)
    if faults:
        raise BadRoofs(Fault(says, file=file, line=1) for says in faults)
    return Columns(headings, units, tuple(name for name in names if name not in headings))


def _matched(name: str) -> tuple[str, str]:
    """What a heading tells, and the unit it names; "" for neither."""
    by_word = {word: known for known, others in _KNOWN.items() for word in (known, *others)}
    if name in by_word:
        return by_word[name], ""
    found = _WITH_UNIT.fullmatch(name.replace(" ", ""))
    known = by_word.get(found["name"].rstrip("_"), "") if found else ""
    if found is None or known not in _SIZED:
        return "", ""
    try:
        read(f"1 {found['unit']}", _SIZED[known])
    except BadQuantity:
        return "", ""
    return known, found["unit"]


def _missing(told: set[str], district: District, *, names: Sequence[str]) -> Iterator[str]:
    usual = {
        "finish": bool(district.finish),
        "people": not _asks_people(district),
        "area": OUTLINE in told,
    }
    for name in ("id", "latitude", "longitude", "area", "finish", "people"):
        if name in told or usual.get(name):
            continue
        hint = {
            "area": "name its unit in the heading, such as area_ft2 or area_m2, or beside each "
            "value",
            "finish": "or say finish = ... in the district's file for all roofs",
            "people": "or say people = ... in the district's file for all roofs",
        }.get(name, "every roof needs it")
        yield f"The column {name} is missing: {hint}. There are: {', '.join(names) or 'none'}."


def _asks_people(district: District) -> bool:
    """Whether the table must tell people: the usual set draws by them and none are usual."""
    return district.people is None and bool(district.use_set(district.usual).each)


class _Wrong(Exception):
    """A row that cannot be screened, and why."""


@dataclass(slots=True)
class _Checked:
    """One block while it is checked. seen : id -> the row that has it."""

    district: District
    block: Block
    columns: Columns
    seen: dict[str, int]
    bad: list[BadRow] = field(default_factory=list)
    cells: dict[str, Sequence[str]] = field(default_factory=dict)
    sizes: dict[tuple[str, str], float] = field(default_factory=dict)

    def roofs(self) -> Roofs:
        """The good rows; the others are noted."""
        told = self.block.columns
        self.cells = {
            known: told[own] for own, known in self.columns.headings.items() if own in told
        }
        found = [row for at in range(self.block.rows) if (row := self._row(at)) is not None]
        columns = list(zip(*found, strict=True)) or [()] * len(Roofs.__slots__)
        kinds = (np.int64, object, float, float, float, float, object, object, float, object)
        return Roofs(*(np.array(c, dtype=k) for c, k in zip(columns, kinds, strict=True)))

    def _row(self, at: int) -> tuple[Any, ...] | None:
        number, name = self.block.first + at, self._text("id", at)
        try:
            return self._read(at, number, name=name)
        except _Wrong as wrong:
            self.bad.append(BadRow(number, _line(name), str(wrong)))
            return None

    def _read(self, at: int, number: int, *, name: str) -> tuple[Any, ...]:
        if says := self.block.wrong.get(number):
            raise _Wrong(says)
        self._once(name, number)
        use_set = self._use_set(at)
        return (
            number,
            name,
            self._degrees("latitude", at, most=90.0),
            self._degrees("longitude", at, most=180.0),
            self._elevation(at),
            self._area(at),
            self._finish(at),
            use_set,
            self._people(at, use_set),
            self._text("district", at),
        )

    def _once(self, name: str, number: int) -> None:
        if not name:
            raise _Wrong("the row has no id")
        if name in self.seen:
            raise _Wrong(f"the id stands in row {self.seen[name]} already")
        self.seen[name] = number

    def _text(self, column: str, at: int) -> str:
        cells = self.cells.get(column)
        return cells[at] if cells else ""

    def _number(self, column: str, text: str) -> float:
        if _NUMBER.fullmatch(text):
            return float(text)
        if self.block.commas_part_thousands and _THOUSANDS.fullmatch(text):
            return float(text.replace(",", ""))
        if not text:
            raise _Wrong(f"the {_NAMED.get(column, column)} is missing")
        if not self.block.commas_part_thousands and _DECIMAL_COMMA.fullmatch(text):
            return self._with_comma(column, text)
        raise _Wrong(f"{column} {_short(text)} is not a number such as 12.5")

    def _with_comma(self, column: str, text: str) -> float:
        """A number of a table whose cells are not parted by commas."""
        if column not in ("latitude", "longitude") and _THOUSANDS.fullmatch(text):
            raise _Wrong(
                f"{column} {_short(text)} may be a decimal or thousands: write it without a comma"
            )
        return float(text.replace(",", "."))

    def _degrees(self, column: str, at: int, *, most: float) -> float:
        value = self._number(column, self._text(column, at))
        if not abs(value) <= most:
            swapped = column == "latitude" and abs(value) <= 180.0
            hint = f": {TURNED}" if swapped else ""
            raise _Wrong(f"{column} {value:g} is not within {most:g} degrees{hint}")
        return value

    def _size(self, column: str, text: str) -> float:
        """A size in our unit: by the unit of the heading, or its own."""
        key = column, text
        if key not in self.sizes:
            unit = self.columns.units.get(column)
            try:
                known = read(f"1 {unit}", _SIZED[column]) if unit else None
                self.sizes[key] = (
                    read(text, _SIZED[column])
                    if known is None
                    else self._number(column, text) * known
                )
            except BadQuantity as refused:
                raise _Wrong(f"{column}: {refused.faults[0].says.rstrip('.')}") from None
        return self.sizes[key]

    def _elevation(self, at: int) -> float:
        text = self._text("elevation", at)
        if not text:
            return np.nan
        elevation_m = self._size("elevation", text)
        if not LOWEST_M <= elevation_m <= HIGHEST_M:
            raise _Wrong(f"elevation {_short(text)} is no place for a roof")
        return elevation_m

    def _area(self, at: int) -> float:
        text = self._text("area", at)
        outline = self._text(OUTLINE, at)
        if not text and not outline:
            raise _Wrong("the area is missing")
        if text.startswith("-"):
            raise _Wrong(f"area {_short(text)} is below nothing")
        area_m2 = self._size("area", text) if text else self._number("area", outline)
        if not math.isfinite(area_m2):
            raise _Wrong(f"area {_short(text)} is too large a number")
        if not 0.01 <= area_m2 <= LARGEST_ROOF_M2:
            raise _Wrong(
                f"area {_short(text or outline)} is {show(area_m2, 'area', system='us')}: no roof"
            )
        return area_m2

    def _finish(self, at: int) -> str:
        text = self._text("finish", at).lower() or self.district.finish
        known = tuple(table("runoff"))
        if text in known:
            return text
        if not text:
            raise _Wrong("the finish is unknown")
        raise _Wrong(f"finish {_short(text)} is not known: {near(text, known).rstrip('.')}")

    def _use_set(self, at: int) -> str:
        name = self._text("use_set", at) or self.district.usual
        known = tuple(one.name for one in self.district.sets)
        if name not in known:
            raise _Wrong(f"use set {_short(name)} is not known: {near(name, known).rstrip('.')}")
        return name

    def _people(self, at: int, use_set: str) -> float:
        if not self.district.use_set(use_set).each:
            return 0.0
        text = self._text("people", at)
        if not text and self.district.people is not None:
            return self.district.people
        people = self._number("people", text)
        if people == 0.0:
            raise _Wrong("people 0: nobody draws water")
        if not 0.0 < people <= 1e5:
            raise _Wrong(f"people {people:g} cannot be")
        return people


def _short(text: str) -> str:
    return repr(_line(text))


def _line(text: str) -> str:
    """The beginning of a cell, on one line."""
    plain = " ".join(text.split())
    return plain if len(plain) <= 40 else plain[:40] + "..."
