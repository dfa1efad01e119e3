"""Hourly and 5-minute csv: a time and a depth a row, wet steps only or all of them."""

import re

import numpy as np

from eavewell.files.rain.columns import RainColumns, heading_line, rain_columns
from eavewell.files.rain.csv_rows import CsvRows, csv_rows
from eavewell.files.rain.depth_texts import depths, mm_per, numbers
from eavewell.files.rain.plain_csv import column_dates, depth_cells, depth_unit
from eavewell.files.rain.record_text import RecordText
from eavewell.files.rain.step_rows import TimedRain, Times, step_rain
from eavewell.site.rain_record import StepRain

CLOCK = re.compile(
    r"(?:^|[T ])(\d{1,2}):(\d\d)(?!\d)(?::\d\d(?:\.\d+)?)?\s*([ap]\.?m)?", re.IGNORECASE
)
USUAL = re.compile(r"\d{4}-\d\d-\d\d[ T]\d\d:\d\d(:\d\d)?", re.ASCII)
LONGEST_STEP = 720


def is_step_csv(text: RecordText) -> bool:
    """True where rows carry times of day that differ."""
    seen = [match.groups() for line in text.lines[:60] if (match := CLOCK.search(_cell(line)))]
    return len(seen) >= 2 and len(set(seen)) >= 2


def read_step_csv(text: RecordText, unit: str = "") -> StepRain:
    """Read timed depths; the step is the widest that fits all times, and no more than 12 hours.

    Where only wet steps are listed, days without any are dry and the file cannot say more.
    """
    found = csv_rows(text, heading_line=heading_line(text))
    columns = rain_columns(found)
    starts = _starts(found, columns)
    chosen = depth_unit(found, columns, unit=unit)
    cells = depth_cells(found, columns)
    what = found.heading[columns.depth] if found.heading else "2"
    read = depths(
        numbers(text, cells, lines=found.lines, what=f"column {what!r}"), mm_per(chosen, text.name)
    )
    step = _step_minutes(text, starts)
    rows_a_day = 24 * 60 // step
    days = len(np.unique(starts.astype("datetime64[D]")))
    notes = read.notes
    if starts.size < 0.5 * days * rows_a_day:
        notes = (*notes, "Only wet steps are listed: a day without any is taken as dry.")
    return step_rain(text, TimedRain(starts, read.rain_mm, step, notes=notes))


def _cell(line: str) -> str:
    """The start of a line, where a time stands."""
    return line.replace(",", " ").replace(";", " ").replace("\t", " ").replace('"', "")[:60]


def _starts(found: CsvRows, columns: RainColumns) -> Times:
    cells = found.column(columns.date[0])
    if columns.time is not None:
        clock = found.column(columns.time)
    else:
        clock = cells
        # The usual layout in one go: 2001-02-03 04:05:06 parses as it stands.
        if all(map(USUAL.fullmatch, cells)):
            try:
                return np.array(cells, dtype="datetime64[s]").astype("datetime64[m]")
            except ValueError:
                pass
    minutes = [_minutes(found, k, cell=cell) for k, cell in enumerate(clock)]
    dates = column_dates(found, columns)
    starts: Times = dates.astype("datetime64[m]") + np.array(minutes, dtype="timedelta64[m]")
    return starts


def _minutes(found: CsvRows, row: int, *, cell: str) -> int:
    match = CLOCK.search(cell.strip())
    hour, minute = (int(match[1]), int(match[2])) if match else (0, 0)
    if hour > 24 or minute > 59 or (match is None and ":" in cell):
        raise found.text.bad(f"{cell[:30]!r} is not a time of day.", found.lines[row])
    if match and match[3]:
        hour = hour % 12 + 12 * match[3].lower().startswith("p")
    return hour * 60 + minute


def _step_minutes(text: RecordText, starts: Times) -> int:
    gaps = np.diff(np.sort(starts)).astype(np.int64)
    step = int(np.gcd.reduce(gaps[gaps > 0])) if (gaps > 0).any() else 0
    if not 1 <= step <= LONGEST_STEP:
        raise text.bad("The rows stand a day or more apart; read it as a daily record.")
    return step
