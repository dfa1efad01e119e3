"""A plain csv: a date and a depth a row, with or without the day's warmest and coldest."""

import re
import zlib
from dataclasses import replace
from pathlib import Path

import numpy as np

from eavewell.files.rain.calendar_rows import (
    About,
    DatedRain,
    DatedTemperature,
    on_calendar,
    temperature_on,
)
from eavewell.files.rain.columns import RainColumns, heading_line, rain_columns
from eavewell.files.rain.csv_rows import CsvRows, csv_rows
from eavewell.files.rain.date_texts import dates_from_parts, dates_of
from eavewell.files.rain.depth_texts import depths, mm_per, numbers, traces
from eavewell.files.rain.record_text import GZIP, RecordText
from eavewell.files.rain.temperature_texts import celsius, is_fahrenheit
from eavewell.site.rain_record import DayArray, Mark, RainRecord

# in the column 'mark' of a record that no gauge measured
INVENTED = "invented"
# of a file, within which its first days stand
_BEGINNING = 4096


def read_plain_csv(text: RecordText, unit: str = "") -> RainRecord:
    """Read a daily csv; the unit is taken from the depth column's heading or from `unit`.

    A record any of whose marks says 'invented' stays invented.
    """
    found = csv_rows(text, heading_line=heading_line(text))
    columns = rain_columns(found)
    dates = column_dates(found, columns)
    _refuse_monthly(found, dates)
    chosen = depth_unit(found, columns, unit=unit)
    record = on_calendar(_rain(found, columns, dates=dates, unit=chosen), About(text.name))
    invented = any(INVENTED in cell.lower().split() for cell in found.named("mark") or ())
    says = ("The file says that its rain is invented: no gauge measured it.",) if invented else ()
    return replace(
        record,
        invented=invented,
        notes=(*record.notes, *says),
        tmax_c=temperature_on(record, _temperature(found, columns.tmax, dates=dates)),
        tmin_c=temperature_on(record, _temperature(found, columns.tmin, dates=dates)),
    )


def begins_invented(path: Path | str) -> bool:
    """Whether the first days of a file are marked 'invented'; False for what cannot be read."""
    try:
        with Path(path).open("rb") as opened:
            raw = opened.read(_BEGINNING)
        if raw.startswith(GZIP):
            raw = zlib.decompressobj(wbits=31).decompress(raw, _BEGINNING)
    except (OSError, zlib.error):
        return False
    return INVENTED.encode() in re.split(rb"[\s,;]+", raw.lower())


def column_dates(found: CsvRows, columns: RainColumns) -> DayArray:
    """The date of every row, from one column or three."""
    if len(columns.date) == 1:
        return dates_of(found.text, found.column(columns.date[0]), lines=found.lines)
    return dates_from_parts(found.text, [found.column(k) for k in columns.date], lines=found.lines)


def depth_cells(found: CsvRows, columns: RainColumns) -> list[str]:
    """The depth column, a decimal comma turned into a point where cells are not parted by it."""
    cells = found.column(columns.depth)
    if found.separator == ",":
        return cells
    return [cell.replace(",", ".") if cell.count(",") == 1 else cell for cell in cells]


def depth_unit(found: CsvRows, columns: RainColumns, *, unit: str) -> str:
    """The unit of the depth column; BadRecord where nobody says, or two say differently."""
    if unit and columns.unit and mm_per(unit) != mm_per(columns.unit):
        heading = found.heading[columns.depth]
        says = f"Column {heading!r} says {columns.unit} but unit = {unit!r}; drop one of the two."
        raise found.text.bad(says)
    if unit or columns.unit:
        return unit or columns.unit
    heading = found.heading[columns.depth] if found.heading else "2"
    hint = _hint(found, columns)
    raise found.text.bad(
        f'The depth unit of column {heading!r} is not said{hint}; say unit = "mm" or "in".'
    )


def _hint(found: CsvRows, columns: RainColumns) -> str:
    if columns.tmax is None:
        return ""
    warmest = numbers(
        found.text, found.column(columns.tmax), lines=found.lines, what="warmest of the day"
    )
    return " (its temperatures are in F, so inches are likely)" if is_fahrenheit(warmest) else ""


def _rain(found: CsvRows, columns: RainColumns, *, dates: DayArray, unit: str) -> DatedRain:
    cells = depth_cells(found, columns)
    what = f"column {found.heading[columns.depth]!r}" if found.heading else "column 2"
    read = depths(
        numbers(found.text, cells, lines=found.lines, what=what), mm_per(unit, found.text.name)
    )
    marks = read.marks.copy()
    marks[traces(cells)] |= np.uint16(Mark.TRACE)
    return DatedRain(dates, read.rain_mm, marks, read.notes)


def _temperature(found: CsvRows, column: int | None, *, dates: DayArray) -> DatedTemperature | None:
    if column is None:
        return None
    what = f"column {found.heading[column]!r}"
    cells = [cell if cell.strip().lower() != "t" else "" for cell in found.column(column)]
    return DatedTemperature(
        dates, celsius(numbers(found.text, cells, lines=found.lines, what=what))
    )


def _refuse_monthly(found: CsvRows, dates: DayArray) -> None:
    steps = np.diff(np.unique(dates.astype(np.int64)))
    if steps.size >= 3 and float(np.median(steps)) >= 28:
        raise found.text.bad(
            "The rows stand a month or more apart: this is a monthly summary, not a daily record; "
            "bring in the daily record."
        )
