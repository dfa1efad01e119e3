"""NOAA's daily elements with their flags, from whichever of its layouts, set on one calendar."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from eavewell.faults import BadRecord, Fault
from eavewell.files.rain.accumulation import Totals, spread
from eavewell.files.rain.calendar_rows import (
    About,
    DatedRain,
    DatedTemperature,
    on_calendar,
    temperature_on,
)
from eavewell.files.rain.depth_texts import depths
from eavewell.site.rain_record import DayArray, FloatArray, Mark, RainRecord
from eavewell.weather.counted import counted

ELEMENTS = frozenset({"PRCP", "TMAX", "TMIN", "MDPR", "DAPR"})
UNREAD = -9999.0


@dataclass(frozen=True, slots=True, eq=False)
class Readings:
    """One element as listed: depths in mm, temperatures in C, DAPR in days; NaN missing.

    mflags, qflags : one character each, "" or " " where nothing is flagged, shape (row,).
    """

    dates: DayArray
    values: FloatArray
    mflags: NDArray[np.str_]
    qflags: NDArray[np.str_]


def record_of(elements: Mapping[str, Readings], about: About) -> RainRecord:
    """Set the elements on a calendar; source ghcn_daily_readme, section III.

    A value that failed a check (any QFLAG) is dropped and marked FLAGGED; a trace is 0; a
    total over several days is spread evenly over them and marked ACCUMULATED.
    """
    if "PRCP" not in elements:
        says = "The file holds no PRCP (daily precipitation); choose a station that measures it."
        raise BadRecord(Fault(says, file=about.name))
    rain = _daily(elements["PRCP"])
    totals = _totals(elements)
    record = on_calendar(_with_rows_for(rain, totals), about)
    record = spread(record, totals)
    return replace(
        record,
        tmax_c=temperature_on(record, _temperature(elements.get("TMAX"))),
        tmin_c=temperature_on(record, _temperature(elements.get("TMIN"))),
    )


def _daily(found: Readings) -> DatedRain:
    read = depths(np.where(found.values == UNREAD, np.nan, found.values), 1.0)
    rain_mm, marks = read.rain_mm.copy(), read.marks.copy()
    failed = (np.char.strip(found.qflags) != "") & ~np.isnan(rain_mm)
    trace = (found.mflags == "T") & ~failed
    waiting = (found.mflags == "S") & ~failed
    rain_mm[failed | waiting] = np.nan
    rain_mm[trace] = 0.0
    marks[failed] |= np.uint16(Mark.FLAGGED)
    marks[trace] |= np.uint16(Mark.TRACE)
    marks[np.isnan(rain_mm)] |= np.uint16(Mark.MISSING)
    gathered = (found.mflags == "A") & ~failed
    rain_mm[gathered] = np.nan
    marks[gathered] |= np.uint16(Mark.MISSING)
    return DatedRain(found.dates, rain_mm, marks, (*read.notes, *_notes(found, failed)))


def _notes(found: Readings, failed: NDArray[np.bool_]) -> list[str]:
    notes = []
    if failed.any():
        notes.append(f"Dropped by the service's own checks: {counted(int(failed.sum()), 'day')}.")
    presumed = int((found.mflags == "P").sum())
    if presumed:
        notes.append(f"'Missing presumed zero' in the source: {counted(presumed, 'dry day')}.")
    return notes


def _totals(elements: Mapping[str, Readings]) -> Totals:
    """Multi-day totals: MDPR with its DAPR days, and the older A after S flags of PRCP."""
    rain = elements["PRCP"]
    gathered = (rain.mflags == "A") & _good(rain)
    dates, depth_mm = [rain.dates[gathered]], [rain.values[gathered]]
    total = elements.get("MDPR")
    if total is not None:
        dates.append(total.dates[_good(total)])
        depth_mm.append(total.values[_good(total)])
    all_dates = np.concatenate(dates)
    spans = _spans(all_dates, elements.get("DAPR"))
    return Totals(all_dates, np.concatenate(depth_mm), spans)


def _spans(dates: DayArray, counted: Readings | None) -> FloatArray:
    if counted is None:
        return np.full(dates.size, np.nan)
    good = _good(counted)
    days = dict(zip(counted.dates[good].tolist(), counted.values[good].tolist(), strict=True))
    return np.array([days.get(day, np.nan) for day in dates.tolist()], dtype=np.float64)


def _good(found: Readings) -> NDArray[np.bool_]:
    read = found.values >= 0  # False for NaN
    return np.asarray(read & (np.char.strip(found.qflags) == ""), dtype=bool)


def _with_rows_for(rain: DatedRain, totals: Totals) -> DatedRain:
    """Let the calendar reach the days that only a total covers, with a placeholder of none."""
    outside = totals.dates[~np.isin(totals.dates, rain.dates)]
    if outside.size == 0:
        return rain
    marks = np.full(outside.size, Mark.MISSING, dtype=np.uint16)
    return DatedRain(
        np.concatenate([rain.dates, outside]),
        np.concatenate([rain.rain_mm, np.full(outside.size, np.nan)]),
        np.concatenate([rain.marks, marks]),
        rain.notes,
    )


def _temperature(found: Readings | None) -> DatedTemperature | None:
    if found is None:
        return None
    good = (found.values > -90.0) & (found.values < 60.0) & (np.char.strip(found.qflags) == "")
    return DatedTemperature(found.dates, np.where(good, found.values, np.nan))
