"""The bytes of a file of readings as columns of text."""

import csv
import gzip
import io
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import polars as pl

from eavewell.faults import BadLog, Fault
from eavewell.files.rain.date_texts import is_date

_GZIP, _SPREADSHEETS = b"\x1f\x8b", (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
_UTF16 = (b"\xff\xfe", b"\xfe\xff")
_SIGNS = (";", "\t", "|")
_EPOCH = re.compile(r"1\d{9}(\.\d+)?|1\d{12}", re.ASCII)
_HEAD, _SAMPLE = 60, 40


@dataclass(frozen=True, slots=True, eq=False)
class Cells:
    """A heading, () for none, and columns of text named "0", "1" and so on.

    lines : line of each row in the file, counted from 1. separator : what parts the cells.
    """

    name: str
    heading: tuple[str, ...]
    frame: pl.DataFrame
    lines: Sequence[int]
    separator: str

    def column(self, index: int) -> pl.Series:
        """Cells of a column, without blanks around them; blank where a row is too short."""
        return self.frame[str(index)]

    @property
    def low(self) -> tuple[str, ...]:
        """The heading in lower case; blank where it is shorter than the rows."""
        told = tuple(word.lower() for word in self.heading)
        return told + ("",) * (self.width - len(told))

    @property
    def width(self) -> int:
        """Number of columns."""
        return self.frame.width

    def fault(self, says: str, row: int | None = None) -> Fault:
        """Something wrong in this file, at a row where it is told."""
        return Fault(says, file=self.name, line=None if row is None else self.lines[row])

    def bad(self, says: str, row: int | None = None) -> BadLog:
        """A fault, ready to be raised."""
        return BadLog(self.fault(says, row))


def cells_of(data: bytes, name: str) -> Cells:
    """Part a file into cells; BadLog where it is empty, no text, or has no row with a time.

    Blank lines, lines that begin with # and what stands above the heading are left out.
    """
    text = _decoded(_unpacked(data, name), name)
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    rows = [k for k, line in enumerate(lines) if line.strip(" \t,;") and line[:1] != "#"]
    if not rows:
        raise _bad(name, "The file is empty; bring the readings in again.")
    separator = _separator([lines[k] for k in rows[1 : _SAMPLE + 1]] or [lines[rows[0]]])
    first = _first_row([lines[k] for k in rows[:_HEAD]], separator)
    if first is None:
        raise _bad(
            name,
            "No row with a date or time was found in it; each row needs one, and a figure.",
        )
    heading = _row(lines[rows[first - 1]], separator) if first else ()
    begins = rows[first:]
    numbers = [k + 1 for k in begins]
    shape = _Shape(name, separator, len(heading), numbers)
    frame = _frame([lines[k] for k in begins], shape)
    if len(heading) < 2:
        heading = ()
    return Cells(
        name,
        tuple(cell.strip() for cell in heading),
        frame,
        numbers,
        separator,
    )


def is_time(cell: str) -> bool:
    """True where a cell could be a date, with or without a time of day."""
    bare = cell.strip().strip('"')
    return is_date(bare) or bool(_EPOCH.fullmatch(bare))


def _separator(sample: Sequence[str]) -> str:
    """A sign that stands alike often in every row; a comma may be part of a figure."""
    for sign in _SIGNS:
        counts = {line.count(sign) for line in sample}
        if len(counts) == 1 and counts != {0}:
            return sign
    return ","


def _row(line: str, separator: str) -> tuple[str, ...]:
    try:
        return tuple(next(csv.reader([line], delimiter=separator, skipinitialspace=True), []))
    except csv.Error:
        return ()


def _first_row(lines: Sequence[str], separator: str) -> int | None:
    for k, line in enumerate(lines):
        if any(is_time(cell) for cell in _row(line, separator)):
            return k
    return None


@dataclass(frozen=True, slots=True, eq=False)
class _Shape:
    """How the rows of a file are parted; heading : cells in its heading, 0 without one."""

    name: str
    separator: str
    heading: int
    numbers: Sequence[int]


def _frame(lines: Sequence[str], shape: _Shape) -> pl.DataFrame:
    separator = shape.separator
    width = max(len(_row(line, separator)) for line in lines[:200])
    quoted = any(line[:1] == '"' or f'{separator}"' in line for line in lines[:200])
    try:
        frame = pl.read_csv(
            io.BytesIO("\n".join(lines).encode()),
            has_header=False,
            schema={str(k): pl.String for k in range(width)},
            separator=separator,
            quote_char='"' if quoted else None,
        )
    except pl.exceptions.PolarsError:
        frame = None
    if frame is None or frame.height != len(lines):
        frame = _row_by_row(lines, shape)
    return frame.with_columns(pl.all().fill_null("").str.strip_chars())


def _row_by_row(lines: Sequence[str], shape: _Shape) -> pl.DataFrame:
    """Rows of unlike lengths: blank cells at their ends do not count, other cells too many do."""
    rows, faults = list[list[str]](), list[Fault]()
    for line, number in zip(lines, shape.numbers, strict=True):
        try:
            reader = csv.reader([line], delimiter=shape.separator, strict=True)
            rows.append(list(next(reader, [])))
        except csv.Error:
            faults.append(
                Fault("A quotation mark opens in it and does not close.", "", shape.name, number)
            )
            rows.append([])
    usual = shape.heading or Counter(map(len, rows)).most_common(1)[0][0]
    for row, number in zip(rows, shape.numbers, strict=True):
        count = max((k + 1 for k, cell in enumerate(row) if cell.strip()), default=0)
        if count > usual:
            says = (
                f"It has {count} cells where there should be {usual}; if a figure has a comma, "
                "write it without."
            )
            faults.append(Fault(says, "", shape.name, number))
    if faults:
        raise BadLog(faults[:10])
    cut = [[*row[:usual], *[""] * (usual - len(row))] for row in rows]
    return pl.DataFrame(cut, schema={str(k): pl.String for k in range(usual)}, orient="row")


def _unpacked(data: bytes, name: str) -> bytes:
    if not data.startswith(_GZIP):
        return data
    try:
        return gzip.decompress(data)
    except (OSError, EOFError):
        raise _bad(name, "The gzip file is cut off or damaged; bring it in again.") from None


def _decoded(data: bytes, name: str) -> str:
    if data.startswith(_SPREADSHEETS):
        raise _bad(name, "This is a spreadsheet or a zip file; save the sheet as csv.")
    try:
        if data.startswith(_UTF16):
            return data.decode("utf-16")
        if b"\x00" in data:
            raise _bad(name, "This is not a text file; give the readings as csv.")
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("latin-1")


def _bad(name: str, says: str) -> BadLog:
    return BadLog(Fault(says, file=name))
