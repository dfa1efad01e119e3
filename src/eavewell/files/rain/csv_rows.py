"""The rows of a csv record: its separator, its heading, its columns."""

import csv
from collections.abc import Sequence
from dataclasses import dataclass

from eavewell.files.rain.record_text import RecordText

SEPARATORS = (",", ";", "\t", "|")


@dataclass(frozen=True, slots=True)
class CsvRows:
    """A heading in lower case and the rows below it.

    lines : line of each row in the file, counted from 1.
    """

    text: RecordText
    heading: tuple[str, ...]
    rows: Sequence[Sequence[str]]
    lines: Sequence[int]
    separator: str = ","

    def column(self, index: int) -> list[str]:
        """Cells of one column; blank where a row is too short."""
        return [row[index] if index < len(row) else "" for row in self.rows]

    def named(self, name: str) -> list[str] | None:
        """Cells of the column of that heading; None where there is none."""
        if name not in self.heading:
            return None
        return self.column(self.heading.index(name))


def separator_of(line: str) -> str:
    """The sign that parts the cells of a line; a comma where none is seen."""
    return max(SEPARATORS, key=lambda sign: (line.count(sign), -SEPARATORS.index(sign)))


def cells_of(line: str) -> tuple[str, ...]:
    """The cells of one line, in lower case and without blanks around them."""
    try:
        row = next(csv.reader([line], delimiter=separator_of(line)), [])
    except csv.Error:
        return ()
    return tuple(cell.strip().lower() for cell in row)


def csv_rows(text: RecordText, *, heading_line: int | None = 0) -> CsvRows:
    """Part a text into rows; blank rows and rows that start with # are left out.

    heading_line : index of the heading's line; None where the file has none.
    """
    first = 0 if heading_line is None else heading_line + 1
    sample = text.lines[min(heading_line or 0, len(text.lines) - 1)]
    separator = separator_of(sample)
    heading = () if heading_line is None else cells_of(sample)
    reader = csv.reader(text.lines[first:], delimiter=separator, skipinitialspace=True)
    rows, lines = [], []
    try:
        for row in reader:
            if any(map(str.strip, row)) and not row[0].startswith("#"):
                rows.append(row)
                lines.append(first + reader.line_num)
    except csv.Error as cause:
        says = f"The row cannot be parted into cells ({cause})."
        raise text.bad(says, first + reader.line_num) from None
    if not rows:
        raise text.bad("The file has a heading and no rows; bring the record in again.")
    return CsvRows(text, heading, rows, lines, separator)
