"""A table as blocks of text cells: csv, parquet or GeoJSON, whatever its columns are."""

import csv
import io
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Any

from eavewell.district.outlines import middle_and_area
from eavewell.faults import BadRoofs, Fault

BLOCK_ROWS = 20_000
PARQUET = b"PAR1"
# the column of areas that outlines make, for a roof whose own column is empty
OUTLINE = "outline_m2"
_EXAMPLE = "id, latitude, longitude, area_ft2, finish, people"


@dataclass(frozen=True, slots=True)
class Block:
    """Some rows of a table.

    first : number of the first row, from 1. columns : heading -> text of each row, "" where empty.
    wrong : row number -> what is wrong with the row as such.
    commas_part_thousands : whether "1,500" is one thousand five hundred.
    """

    first: int
    columns: Mapping[str, Sequence[str]]
    wrong: Mapping[int, str]
    commas_part_thousands: bool = True

    @property
    def rows(self) -> int:
        """Number of rows."""
        return len(next(iter(self.columns.values()), ()))


def blocks(path: Path, *, example: str = _EXAMPLE) -> Iterator[Block]:
    """The rows of a csv, parquet or GeoJSON file, block by block, told by what stands in it.

    example : headings of such a table, for who has none.
    Raises BadRoofs in a sentence where it is none of them, or has no row.
    """
    start = _start(path)
    if start.startswith(PARQUET):
        found = _parquet(path)
    elif start.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"{"):
        found = _geojson(path)
    else:
        found = _csv(path, start)
    first = next(found, None)
    if first is None or not first.rows:
        raise _bad(path, f"The table has no row: it needs a heading such as {example}, and rows.")
    yield first
    yield from found


def _bad(path: Path, says: str, *, line: int | None = None) -> BadRoofs:
    return BadRoofs(Fault(says, file=str(path), line=line))


def _start(path: Path) -> bytes:
    try:
        with path.open("rb") as opened:
            return opened.read(4096)
    except (OSError, ValueError) as cause:
        why = getattr(cause, "strerror", None) or "the name cannot be used"
        raise _bad(path, f"The table cannot be opened ({why}).") from None


def heading(text: str) -> str:
    """A heading in small letters, its words joined by '_'."""
    return "_".join(text.strip().lower().replace("-", " ").replace("_", " ").split())


def _headings(path: Path, names: Sequence[str]) -> list[str]:
    found = [heading(name) for name in names]
    twice = sorted({name for name in found if name and found.count(name) > 1})
    if twice:
        raise _bad(path, f"A column is named twice: {', '.join(twice)}.", line=1)
    return found


def _csv(path: Path, start: bytes) -> Iterator[Block]:
    if start.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        raise _bad(path, "This is a spreadsheet or a zip file: save the sheet as csv.")
    if start.startswith(b"\x1f\x8b"):
        raise _bad(path, "This file is packed (gzip): unpack it first.")
    with path.open("rb") as raw:
        text = io.TextIOWrapper(raw, encoding=_encoding(path), errors="replace", newline="")
        head = text.readline()
        if "\0" in head:
            raise _bad(path, "This is not a text file: a table of roofs is csv, parquet, GeoJSON.")
        mark = max(",;\t", key=head.count)
        names = _headings(path, next(csv.reader([head], delimiter=mark), []))
        yield from _csv_blocks(path, csv.reader(text, delimiter=mark), names=names, mark=mark)


def _encoding(path: Path) -> str:
    """UTF-8 or, by its mark, UTF-16; where it is neither, Western letters of one byte."""
    import codecs

    if _start(path).startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16"
    decoder = codecs.getincrementaldecoder("utf-8")()
    with path.open("rb") as opened:
        try:
            while piece := opened.read(1 << 20):
                decoder.decode(piece)
            decoder.decode(b"", final=True)
        except UnicodeDecodeError:
            return "cp1252"
    return "utf-8-sig"


def _csv_blocks(
    path: Path, reader: Iterator[list[str]], *, names: list[str], mark: str
) -> Iterator[Block]:
    first = 1
    filled = (cells for cells in reader if "".join(cells).strip())
    try:
        while rows := list(islice(filled, BLOCK_ROWS)):
            wrong = {
                first + at: says
                for at, cells in enumerate(rows)
                if (says := _odd_cells(cells, len(names), mark=mark))
            }
            square = zip(*(_as_wide(cells, len(names)) for cells in rows), strict=True)
            columns = {
                name: [cell.strip() for cell in cells]
                for name, cells in zip(names, square, strict=True)
                if name
            }
            yield Block(first, columns, wrong, commas_part_thousands=mark != ";")
            first += len(rows)
    except csv.Error as broken:
        raise _bad(path, f"The csv breaks after row {first - 1}: {broken}.") from None


def _odd_cells(cells: list[str], columns: int, *, mark: str) -> str:
    """What is wrong with the cells of a row as such; "" for nothing."""
    if len(cells) == columns:
        return ""
    if any(cell.strip() for cell in cells[columns:]):
        return (
            f"more cells than columns: {len(cells)} stand in {columns}; put what has a "
            f"{'semicolon' if mark == ';' else 'comma'} in it into quotation marks"
        )
    lines = max(cell.count("\n") for cell in cells)
    if lines and len(cells) < columns:
        return f"a quotation mark is opened and not closed: {lines + 1} lines are lost in one cell"
    return ""


def _as_wide(cells: list[str], count: int) -> list[str]:
    return cells if len(cells) == count else [*cells, *[""] * count][:count]


def _parquet(path: Path) -> Iterator[Block]:
    import polars

    try:
        whole = polars.scan_parquet(path)
        names = whole.collect_schema().names()
        headings = _headings(path, names)
        first = 0
        while True:
            texts = polars.all().cast(polars.String).fill_null("")
            part = whole.slice(first, BLOCK_ROWS).select(texts).collect()
            if not part.height:
                return
            columns = {name: part[own].to_list() for name, own in zip(headings, names, strict=True)}
            yield Block(first + 1, columns, {})
            first += part.height
    except polars.exceptions.PolarsError:
        raise _bad(
            path,
            "The parquet file cannot be read: it is cut off or of a kind unknown to "
            "us; its columns must be text and numbers.",
        ) from None


def _geojson(path: Path) -> Iterator[Block]:
    try:
        read = json.loads(path.read_bytes().decode("utf-8-sig"))
    except (ValueError, RecursionError):
        raise _bad(path, "This begins as GeoJSON and cannot be read to its end.") from None
    features = read.get("features")
    if not isinstance(features, list):
        raise _bad(path, "This is JSON without features: a table of roofs is a FeatureCollection.")
    names = dict.fromkeys(name for one in features for name in _feature(one)[0])
    for first in range(0, len(features), BLOCK_ROWS):
        told = [_feature(one) for one in features[first : first + BLOCK_ROWS]]
        columns = {name: [row.get(name, "") for row, _ in told] for name in names}
        wrong = {first + 1 + at: says for at, (_, says) in enumerate(told) if says}
        yield Block(first + 1, columns, wrong)


def _feature(one: Any) -> tuple[dict[str, str], str]:
    """The cells of a feature, and what is wrong with it; its outline gives what it does not say."""
    if not isinstance(one, dict):
        return {}, "this is no feature"
    told = one.get("properties") or {}
    if not isinstance(told, dict):
        return {}, "the properties of the feature are no names with values"
    row = {heading(str(name)): _text(value) for name, value in told.items()}
    if "id" in one:
        row.setdefault("id", _text(one["id"]))
    place = middle_and_area(one.get("geometry"))
    if place is None:
        return row, "the feature has no point and no outline in degrees"
    row["latitude"], row["longitude"] = repr(place.latitude), repr(place.longitude)
    if place.area_m2 is not None:
        row[OUTLINE] = repr(place.area_m2)
    return row, ""


def _text(value: Any) -> str:
    if value is None:
        return ""
    return repr(value) if isinstance(value, float) else str(value).strip()
