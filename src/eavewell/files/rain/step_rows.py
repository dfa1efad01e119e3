"""Timed depths made into StepRain: sorted, codes and impossible depths taken out by the day."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from eavewell.files.rain.calendar_rows import MOST_YEARS, day_of
from eavewell.files.rain.record_text import RecordText
from eavewell.site.rain_record import FloatArray, StepRain
from eavewell.tables import table
from eavewell.weather.counted import counted
from eavewell.weather.greatest_rain import greatest_rain_mm_paulhus

Times = NDArray[np.datetime64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class TimedRain:
    """Depths by the start of their step, as the file lists them; NaN where missing.

    starts : datetime64[m], shape (row,).
    missing_days : days already known to be without a trustworthy value.
    first_day, last_day : of the period watched where the file says; else from its readings.
    """

    starts: Times
    rain_mm: FloatArray
    step_minutes: int
    missing_days: frozenset[date] = frozenset()
    notes: tuple[str, ...] = ()
    first_day: date | None = None
    last_day: date | None = None
    station: str = ""


def step_rain(text: RecordText, found: TimedRain) -> StepRain:
    """Keep the wet steps; a day with a code, a gap or a depth no gauge has seen is missing.

    Doubled steps of equal depth are merged; differing ones make their day missing.
    """
    if found.starts.size == 0 or np.isnan(found.rain_mm).all():
        raise text.bad("No step holds a rain depth.")
    order = np.argsort(found.starts, kind="stable")
    starts, rain_mm = found.starts[order], found.rain_mm[order]
    impossible = rain_mm > greatest_rain_mm_paulhus(found.step_minutes)
    doubled = np.r_[False, starts[1:] == starts[:-1]]
    differ = doubled & np.r_[False, rain_mm[1:] != rain_mm[:-1]]
    stuck = _stuck(rain_mm)
    bad = np.isnan(rain_mm) | impossible | (rain_mm < 0) | differ | stuck
    bad_days = np.unique(starts[bad].astype("datetime64[D]"))
    lost = np.isin(starts.astype("datetime64[D]"), bad_days)
    wet = ~lost & ~doubled & (rain_mm > 0)
    first = found.first_day or day_of(starts[0])
    last = found.last_day or day_of(starts[-1])
    if (last - first).days > MOST_YEARS * 366:
        raise text.bad(f"The times run from {first} to {last}; one must be a slip of the pen.")
    missing = found.missing_days | {day_of(day) for day in bad_days}
    return StepRain(
        name=text.name,
        step_minutes=found.step_minutes,
        starts=starts[wet],
        rain_mm=rain_mm[wet],
        first_day=first,
        last_day=last,
        missing_days=frozenset(day for day in missing if first <= day <= last),
        station=found.station,
        notes=(
            *found.notes,
            *_note(
                "Deeper than any gauge has ever seen",
                starts,
                rain_mm=rain_mm,
                where=impossible,
            ),
            *_note("Twice with different depths", starts, rain_mm=rain_mm, where=differ),
            *_note(
                "One heavy depth repeated step after step",
                starts,
                rain_mm=rain_mm,
                where=stuck & ~impossible,
            ),
        ),
    )


def days_between(first: date, last: date) -> frozenset[date]:
    """Every day from first to last, both included."""
    return frozenset(first + timedelta(days=k) for k in range((last - first).days + 1))


def _stuck(rain_mm: FloatArray) -> Flags:
    """True in runs of one heavy depth, which a stuck gauge or a filled gap leaves behind."""
    limits = table("rain_limits")
    length = int(limits["stuck_steps"].value)
    same = np.r_[
        False, (rain_mm[1:] == rain_mm[:-1]) & (rain_mm[1:] >= limits["stuck_depth"].value)
    ]
    run = np.zeros(rain_mm.size, dtype=np.int64)
    for k in np.flatnonzero(same):
        run[k] = run[k - 1] + 1
    stuck = np.zeros(rain_mm.size, dtype=bool)
    for k in np.flatnonzero(run >= length - 1):
        stuck[k - run[k] : k + 1] = True
    return stuck


def _note(what: str, starts: Times, *, rain_mm: FloatArray, where: Flags) -> list[str]:
    if not where.any():
        return []
    shown = ", ".join(f"{depth:g}" for depth in np.unique(rain_mm[where])[-4:])
    return [
        f"{what}: {counted(int(where.sum()), 'step')} ({shown} mm, first at {starts[where][0]}); "
        "such a day counts as missing."
    ]
