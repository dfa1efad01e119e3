"""NOAA by-station csv: id,yyyymmdd,element,value,m,q,s,time in tenths, no heading."""

import re
from collections.abc import Sequence

import numpy as np

from eavewell.files.rain.calendar_rows import About
from eavewell.files.rain.csv_rows import CsvRows, csv_rows
from eavewell.files.rain.date_texts import dates_of
from eavewell.files.rain.depth_texts import numbers
from eavewell.files.rain.ghcn_elements import ELEMENTS, Readings, record_of
from eavewell.files.rain.record_text import RecordText
from eavewell.site.rain_record import RainRecord

LINE = re.compile(r'"?[A-Z0-9_-]{11}"?,"?\d{8}"?,"?[A-Z0-9]{4}"?, *-?\d', re.ASCII)


def is_ghcn_station_csv(text: RecordText) -> bool:
    """True where a first line is a station's reading; a heading before it does no harm."""
    return any(LINE.match(line) for line in text.lines[:2])


def read_ghcn_station_csv(text: RecordText) -> RainRecord:
    """Read a by-station csv; the same flags as in the fixed-width layout."""
    found = csv_rows(text, heading_line=None if LINE.match(text.lines[0]) else 0)
    stations = {row[0].strip() for row in found.rows}
    if len(stations) > 1:
        raise text.bad(f"The file holds {len(stations)} stations; keep the rows of one.")
    rows_of: dict[str, list[int]] = {}
    for k, row in enumerate(found.rows):
        if len(row) > 3 and row[2].strip() in ELEMENTS:
            rows_of.setdefault(row[2].strip(), []).append(k)
    elements = {name: _readings(found, name, kept=rows) for name, rows in rows_of.items()}
    return record_of(elements, About(text.name, station=stations.pop()))


def _readings(found: CsvRows, name: str, *, kept: Sequence[int]) -> Readings:
    rows = [found.rows[k] for k in kept]
    lines = [found.lines[k] for k in kept]
    values = numbers(found.text, [row[3] for row in rows], lines=lines, what=name)
    scaled = values if name == "DAPR" else values / 10.0
    return Readings(
        dates_of(found.text, [row[1] for row in rows], lines=lines),
        np.where(values == -9999, np.nan, scaled),
        np.array([row[4].strip() if len(row) > 4 else "" for row in rows], dtype=np.str_),
        np.array([row[5].strip() if len(row) > 5 else "" for row in rows], dtype=np.str_),
    )
