"""The bytes of a file of readings as columns of text."""

import csv
import gzip
import io
import re
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
    frame = _frame([lines[k] for k in begins], separator, name=name)
    if len(heading) < 2:
        heading = ()
    return Cells(
        name,
        tuple(cell.strip() for cell in heading),
        frame,
        [k + 1 for k in begins],
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


def _frame(lines: Sequence[str], separator: str, *, name: str) -> pl.DataFrame:
    width = max(len(_row(line, separator)) for line in lines[:200])
    try:
        frame = pl.read_csv(
            io.BytesIO("\n".join(lines).encode()),
            has_header=False,
            schema={str(k): pl.String for k in range(width)},
            separator=separator,
            truncate_ragged_lines=True,
        )
    except pl.exceptions.PolarsError as cause:
        says = f"Its rows cannot be parted into cells ({str(cause).splitlines()[0][:120]})."
        raise _bad(name, says) from None
    if frame.height != len(lines):
        raise _bad(name, "A quotation mark opens in a cell and does not close in its row.")
    return frame.with_columns(pl.all().fill_null("").str.strip_chars())


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
