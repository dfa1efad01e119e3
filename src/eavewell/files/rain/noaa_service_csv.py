"""NOAA service csv: date,datatype,station,value,fl_m,fl_q,fl_so,fl_t,units."""

from collections.abc import Sequence

import numpy as np

from eavewell.files.rain.calendar_rows import About
from eavewell.files.rain.csv_rows import CsvRows, cells_of, csv_rows
from eavewell.files.rain.date_texts import dates_of
from eavewell.files.rain.depth_texts import mm_per, numbers
from eavewell.files.rain.ghcn_elements import ELEMENTS, Readings, record_of
from eavewell.files.rain.record_text import RecordText
from eavewell.files.rain.temperature_texts import celsius
from eavewell.site.rain_record import FloatArray, RainRecord

NEEDED = frozenset({"date", "datatype", "station", "value"})


def is_noaa_service_csv(text: RecordText) -> bool:
    """True where the heading is the service's own."""
    return set(cells_of(text.lines[0])) >= NEEDED


def read_noaa_service_csv(text: RecordText, unit: str = "") -> RainRecord:
    """Read one station's rows; the depth unit is taken from the units column, else asked for."""
    found = csv_rows(text)
    stations = {cell.strip() for cell in found.named("station") or ()}
    if len(stations) > 1:
        raise text.bad(f"The file holds {len(stations)} stations; keep the rows of one.")
    rows_of: dict[str, list[int]] = {}
    for k, kind in enumerate(found.named("datatype") or ()):
        if kind.strip() in ELEMENTS:
            rows_of.setdefault(kind.strip(), []).append(k)
    elements = {
        name: _readings(found, name, kept=rows, unit=unit) for name, rows in rows_of.items()
    }
    return record_of(elements, About(text.name, station=stations.pop().removeprefix("GHCND:")))


def _readings(found: CsvRows, name: str, *, kept: Sequence[int], unit: str) -> Readings:
    lines = [found.lines[k] for k in kept]

    def cells(column: str) -> list[str]:
        every = found.named(column)
        return [every[k].strip() if every else "" for k in kept]

    values = numbers(found.text, cells("value"), lines=lines, what=name)
    values[values == -9999] = np.nan
    return Readings(
        dates_of(found.text, cells("date"), lines=lines),
        _scaled(found, name, values=values, units={unit} if unit else set(cells("units"))),
        np.array(cells("fl_m"), dtype=np.str_),
        np.array(cells("fl_q"), dtype=np.str_),
    )


def _scaled(found: CsvRows, name: str, *, values: FloatArray, units: set[str]) -> FloatArray:
    if name == "DAPR":
        return values
    if name in {"TMAX", "TMIN"}:
        return celsius(values)
    if len(units) != 1 or units == {""}:
        says = f'The unit of {name} is not said in the file; say unit = "mm" or "in".'
        raise found.text.bad(says)
    return values * mm_per(units.pop(), found.text.name)
