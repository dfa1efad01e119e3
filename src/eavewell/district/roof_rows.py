"""The roofs of a table, row by row: what is good is kept as columns, what is bad has its reason."""

import math
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, partial
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
_COMMA_AND_UNIT = re.compile(r"([-+]?\d+,\d+) ?([^\d\s,].*)")
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
    """One block while it is checked, column by column: the same text is read once.

    seen : id -> the row that has it. wrong : place in the block -> what was first found wrong.
    """

    district: District
    block: Block
    columns: Columns
    seen: dict[str, int]
    wrong: dict[int, str] = field(default_factory=dict)

    def roofs(self) -> Roofs:
        """The good rows; what is wrong with the others is noted."""
        ids, outlines = self._cells("id"), self._cells(OUTLINE)
        self._note_ids(ids)
        sets = self._read("use_set", self._use_set)
        columns = (
            range(self.block.first, self.block.first + self.block.rows),
            ids,
            self._read("latitude", partial(self._degrees, "latitude", most=90.0)),
            self._read("longitude", partial(self._degrees, "longitude", most=180.0)),
            self._read("elevation", self._elevation),
            self._each(list(zip(self._cells("area"), outlines, strict=True)), self._area),
            self._read("finish", self._finish),
            sets,
            self._each(list(zip(self._cells("people"), sets, strict=True)), self._people),
            self._read("district", str),
        )
        kinds = (np.int64, object, float, float, float, float, object, object, float, object)
        roofs = Roofs(*(np.array(c, dtype=k) for c, k in zip(columns, kinds, strict=True)))
        return roofs.at(np.delete(np.arange(self.block.rows), list(self.wrong)))

    @property
    def bad(self) -> list[BadRow]:
        """The rows that cannot be screened, in the order of the table."""
        ids = self._cells("id")
        return [
            BadRow(self.block.first + at, _line(ids[at]), self.wrong[at])
            for at in sorted(self.wrong)
        ]

    def _cells(self, column: str) -> Sequence[str]:
        told = self.block.columns
        for own, known in self.columns.headings.items():
            if known == column and own in told:
                return told[own]
        return [""] * self.block.rows

    def _read(self, column: str, reader: Callable[[str], Any]) -> list[Any]:
        return self._each(self._cells(column), reader)

    def _each(self, cells: Sequence[Any], reader: Callable[[Any], Any]) -> list[Any]:
        """What a column tells, None where that is wrong."""
        known, refused = dict[Any, Any](), dict[Any, str]()
        for cell in set(cells):
            try:
                known[cell] = reader(cell)
            except _Wrong as wrong:
                refused[cell] = str(wrong)
        if refused:
            for at, cell in enumerate(cells):
                if cell in refused:
                    self.wrong.setdefault(at, refused[cell])
        return list(map(known.get, cells))

    def _note_ids(self, ids: Sequence[str]) -> None:
        for at, name in enumerate(ids):
            number = self.block.first + at
            if says := self.block.wrong.get(number):
                self.wrong[at] = says
            elif not name:
                self.wrong[at] = "the row has no id"
            elif self.seen.setdefault(name, number) != number:
                self.wrong[at] = f"the id stands in an earlier row: {self.seen[name]}"

    def _number(self, column: str, text: str) -> float:
        if _NUMBER.fullmatch(text):
            return float(text)
        if self.block.commas_part_thousands and _THOUSANDS.fullmatch(text):
            return float(text.replace(",", ""))
        if not text:
            raise _Wrong(f"the {_NAMED.get(column, column)} is missing")
        if not self.block.commas_part_thousands and _DECIMAL_COMMA.fullmatch(text):
            return self._with_comma(column, text)
        raise _Wrong(f"{column} {_short(text)} is not a number: write it such as 12.5")

    def _with_comma(self, column: str, text: str) -> float:
        """A number of a table whose cells are not parted by commas."""
        if column not in ("latitude", "longitude") and _THOUSANDS.fullmatch(text):
            raise _Wrong(
                f"{column} {_short(text)} may be a decimal or thousands: write it without a comma"
            )
        return float(text.replace(",", "."))

    def _degrees(self, column: str, text: str, *, most: float) -> float:
        value = self._number(column, text)
        if not abs(value) <= most:
            swapped = column == "latitude" and abs(value) <= 180.0
            hint = f"; {TURNED}" if swapped else ""
            raise _Wrong(f"{column} is not on the globe: {value:g} is beyond {most:g}{hint}")
        return value

    def _size(self, column: str, text: str) -> float:
        """A size in our unit: by the unit of the heading, or its own."""
        unit = self.columns.units.get(column)
        try:
            if unit:
                return self._number(column, text) * _one(unit, _SIZED[column])
            found = None if self.block.commas_part_thousands else _COMMA_AND_UNIT.fullmatch(text)
            told = f"{self._with_comma(column, found[1])} {found[2]}" if found else text
            return read(told, _SIZED[column])
        except BadQuantity as refused:
            raise _Wrong(f"{column}: {refused.faults[0].says.rstrip('.')}") from None

    def _elevation(self, text: str) -> float:
        if not text:
            return np.nan
        elevation_m = self._size("elevation", text)
        if not LOWEST_M <= elevation_m <= HIGHEST_M:
            raise _Wrong(f"elevation {_short(text)} is no place for a roof")
        return elevation_m

    def _area(self, told: tuple[str, str]) -> float:
        text, outline = told
        if not text and not outline:
            raise _Wrong("the area is missing")
        if text.startswith("-"):
            raise _Wrong(f"area {_short(text)} is below nothing")
        area_m2 = self._size("area", text) if text else self._number("area", outline)
        if not math.isfinite(area_m2):
            raise _Wrong(f"area {_short(text)} is too large a number")
        if not 0.01 <= area_m2 <= LARGEST_ROOF_M2:
            ft2 = show(area_m2, "area", system="us")
            raise _Wrong(f"area {_short(text or outline)} is that of no roof: {ft2}")
        return area_m2

    def _finish(self, text: str) -> str:
        finish, known = text.lower() or self.district.finish, tuple(table("runoff"))
        if finish in known:
            return finish
        if not finish:
            raise _Wrong("the finish is unknown")
        raise _Wrong(f"finish {_short(finish)} is not known: {near(finish, known).rstrip('.')}")

    def _use_set(self, text: str) -> str:
        name = text or self.district.usual
        known = tuple(one.name for one in self.district.sets)
        if name not in known:
            raise _Wrong(f"use set {_short(name)} is not known: {near(name, known).rstrip('.')}")
        return name

    def _people(self, told: tuple[str, str | None]) -> float:
        """Who draws by a use set; of one that is unknown nothing more is said."""
        text, use_set = told
        if use_set is None or not self.district.use_set(use_set).each:
            return 0.0
        if not text and self.district.people is not None:
            return self.district.people
        people = self._number("people", text)
        if people == 0.0:
            raise _Wrong("nobody draws water: people 0")
        if not 0.0 < people <= 1e5:
            raise _Wrong(f"so many people cannot be: {people:g}")
        return people


@cache
def _one(unit: str, kind: str) -> float:
    return read(f"1 {unit}", kind)


def _short(text: str) -> str:
    return repr(_line(text))


def _line(text: str) -> str:
    """The beginning of a cell, on one line."""
    plain = " ".join(text.split())
    return plain if len(plain) <= 40 else plain[:40] + "..."
