"""NOAA web-order csv: one row a day, a column an element, flags in ..._ATTRIBUTES columns."""

from dataclasses import replace

import numpy as np

from eavewell.files.rain.calendar_rows import About
from eavewell.files.rain.csv_rows import CsvRows, cells_of, csv_rows
from eavewell.files.rain.date_texts import dates_of
from eavewell.files.rain.depth_texts import mm_per, numbers, traces
from eavewell.files.rain.ghcn_elements import Readings, record_of
from eavewell.files.rain.record_text import RecordText
from eavewell.files.rain.temperature_texts import celsius, is_fahrenheit, is_tenths
from eavewell.site.rain_record import FloatArray, RainRecord


def is_noaa_web_csv(text: RecordText) -> bool:
    """True where the heading has station, date and prcp."""
    return set(cells_of(text.lines[0])) >= {"station", "date", "prcp"}


def read_noaa_web_csv(text: RecordText, unit: str = "") -> RainRecord:
    """Read one station's days.

    The service prints inches with two decimals, mm with one and tenths of mm with none; a
    warmest day in F or tenths of C settles it too. A multi-day total printed without decimals
    beside mm stands in tenths of mm, in whichever case the headings are.
    """
    found = csv_rows(text)
    stations = set(found.named("station") or ())
    if len(stations) > 1:
        raise text.bad(f"The file holds {len(stations)} stations; keep the rows of one.")
    dates = dates_of(text, found.named("date") or (), lines=found.lines)
    rain_unit = unit or _unit(found)
    elements = {}
    for name in ("prcp", "mdpr", "dapr", "tmax", "tmin"):
        values = _values(found, name, rain_unit=rain_unit)
        if values is not None:
            elements[name.upper()] = replace(_flags(found, name), dates=dates, values=values)
    return record_of(elements, _about(found, stations.pop()))


def _values(found: CsvRows, name: str, *, rain_unit: str) -> FloatArray | None:
    cells = found.named(name)
    if cells is None:
        return None
    values = numbers(found.text, cells, lines=found.lines, what=f"column {name.upper()!r}")
    values[np.isin(values, (-9999.0, 9999.0))] = np.nan
    if name == "dapr":
        return values
    if name in {"tmax", "tmin"}:
        return celsius(values)
    unit = rain_unit
    if name == "mdpr" and rain_unit == "mm" and _decimals(cells) == 0:
        unit = "mm_tenths"
    return values * mm_per(unit, found.text.name)


def _flags(found: CsvRows, name: str) -> Readings:
    """Flags 'M,Q,S,time' of one element; its dates and values are set by the caller."""
    cells = found.named(f"{name}_attributes") or [""] * len(found.rows)
    parts = {cell: (*cell.split(","), "", "")[:2] for cell in set(cells)}
    mflags = np.array([parts[cell][0].strip() for cell in cells], dtype=np.str_)
    if name == "prcp":
        mflags[traces(found.named(name) or [])] = "T"
    qflags = np.array([parts[cell][1].strip() for cell in cells], dtype=np.str_)
    nothing = np.array([], dtype=np.float64)
    return Readings(nothing.astype("datetime64[D]"), nothing, mflags, qflags)


def _unit(found: CsvRows) -> str:
    decimals = _decimals(found.named("prcp") or [])
    if decimals >= 2:
        return "in"
    if decimals == 1:
        return "mm"
    for name in ("tmax", "tmin", "tobs"):
        cells = found.named(name)
        if cells is None:
            continue
        values = numbers(found.text, cells, lines=found.lines, what=f"column {name.upper()!r}")
        if is_tenths(values):
            return "mm_tenths"
        if is_fahrenheit(values):
            return "in"
    raise found.text.bad(
        'The unit of column \'PRCP\' cannot be told from the file; say unit = "mm" or "in".'
    )


def _decimals(cells: list[str]) -> int:
    return max((len(cell.strip().partition(".")[2]) for cell in set(cells)), default=0)


def _about(found: CsvRows, station: str) -> About:
    def first(name: str) -> str:
        return next(iter(found.named(name) or [""])).strip()

    def number(name: str) -> float | None:
        try:
            value = float(first(name))
        except ValueError:
            return None
        return value if abs(value) < 9000 else None

    return About(
        found.text.name,
        station.strip(),
        number("latitude"),
        number("longitude"),
        number("elevation"),
    )
