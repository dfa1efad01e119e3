"""Dated readings set on an unbroken calendar: sorted, doubled days merged or refused."""

from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from eavewell.faults import BadRecord, Fault
from eavewell.site.rain_record import DayArray, FloatArray, Mark, RainRecord
from eavewell.weather.counted import counted

MOST_YEARS = 400


@dataclass(frozen=True, slots=True)
class About:
    """What a file says of its gauge; None and "" where it does not."""

    name: str
    station: str = ""
    latitude: float | None = None
    longitude: float | None = None
    elevation_m: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class DatedRain:
    """Daily readings as the file lists them, in any order.

    dates   : shape (row,).
    rain_mm : NaN where missing, shape (row,).
    marks   : Mark bits, shape (row,).
    """

    dates: DayArray
    rain_mm: FloatArray
    marks: NDArray[np.uint16]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class DatedTemperature:
    """Temperatures as the file lists them; NaN where missing, shape (row,)."""

    dates: DayArray
    temperature_c: FloatArray


def day_of(day: np.datetime64) -> date:
    """A numpy day as a date."""
    return date.fromordinal(int(day.astype("datetime64[D]").astype(np.int64)) + 719163)


def on_calendar(rain: DatedRain, about: About) -> RainRecord:
    """Set dated rain on a calendar from its first to its last reading.

    Days out of order are sorted and noted. Equal doubled readings are merged and noted;
    differing ones are kept as missing, marked DOUBLED, since nobody can say which is right.
    """
    ordered = _in_order(rain)
    merged = _merged(ordered)
    known = np.flatnonzero(~np.isnan(merged.rain_mm))
    if known.size == 0:
        raise BadRecord(Fault("No day holds a rain depth.", file=about.name))
    kept = slice(int(known[0]), int(known[-1]) + 1)
    rows = (merged.dates[kept] - merged.dates[known[0]]).astype(np.int64)
    if rows[-1] > MOST_YEARS * 366:
        first, last = day_of(merged.dates[known[0]]), day_of(merged.dates[known[-1]])
        says = f"The dates run from {first} to {last}; one of them must be a slip of the pen."
        raise BadRecord(Fault(says, file=about.name))
    rain_mm = np.full(int(rows[-1]) + 1, np.nan)
    marks = np.full(rain_mm.size, Mark.MISSING, dtype=np.uint16)
    rain_mm[rows], marks[rows] = merged.rain_mm[kept], merged.marks[kept]
    return RainRecord(
        name=about.name,
        first_day=day_of(merged.dates[known[0]]),
        rain_mm=rain_mm,
        marks=marks,
        station=about.station,
        latitude=about.latitude,
        longitude=about.longitude,
        elevation_m=about.elevation_m,
        notes=merged.notes,
    )


def temperature_on(record: RainRecord, found: DatedTemperature | None) -> FloatArray | None:
    """Temperatures on the record's calendar; None where the file has none within it."""
    if found is None:
        return None
    rows = (found.dates - np.datetime64(record.first_day, "D")).astype(np.int64)
    inside = (rows >= 0) & (rows < record.days) & ~np.isnan(found.temperature_c)
    if not inside.any():
        return None
    placed = np.full(record.days, np.nan)
    placed[rows[inside]] = found.temperature_c[inside]
    return placed


def _in_order(rain: DatedRain) -> DatedRain:
    steps = np.diff(rain.dates.astype(np.int64))
    if not (steps < 0).any():
        return rain
    order = np.argsort(rain.dates, kind="stable")
    first = day_of(rain.dates[int(np.flatnonzero(steps < 0)[0]) + 1])
    note = f"Days stand out of order, first at {first}; they were sorted, none was lost."
    return DatedRain(rain.dates[order], rain.rain_mm[order], rain.marks[order], (*rain.notes, note))


def _merged(rain: DatedRain) -> DatedRain:
    starts = np.flatnonzero(np.r_[True, np.diff(rain.dates.astype(np.int64)) > 0])
    if starts.size == rain.dates.size:
        return rain
    sizes = np.diff(np.r_[starts, rain.dates.size])
    rain_mm, marks = rain.rain_mm[starts].copy(), rain.marks[starts].copy()
    equal, differ = [], []
    for group in np.flatnonzero(sizes > 1):
        rows = slice(int(starts[group]), int(starts[group] + sizes[group]))
        readings = rain.rain_mm[rows]
        known = np.flatnonzero(~np.isnan(readings))
        if known.size and np.ptp(readings[known]) > 0:
            rain_mm[group] = np.nan
            marks[group] = Mark.MISSING | Mark.DOUBLED
            differ.append(rain.dates[starts[group]])
        else:
            best = int(known[0]) if known.size else 0
            rain_mm[group], marks[group] = readings[best], rain.marks[rows][best]
            equal.append(rain.dates[starts[group]])
    notes = (*rain.notes, *_doubled_notes(equal, differ))
    return DatedRain(rain.dates[starts], rain_mm, marks, notes)


def _doubled_notes(equal: list[np.datetime64], differ: list[np.datetime64]) -> list[str]:
    notes = []
    if equal:
        notes.append(f"Twice with equal readings: {_days(equal)}; merged.")
    if differ:
        notes.append(
            f"Twice with different readings: {_days(differ)}; taken as missing, marked doubled. "
            "Keep one reading a day in the file."
        )
    return notes


def _days(days: list[np.datetime64]) -> str:
    return f"{counted(len(days), 'day')} (first {day_of(days[0])})"
