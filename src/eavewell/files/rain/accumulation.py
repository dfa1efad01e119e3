"""Totals over several days, spread evenly over the days they cover."""

from dataclasses import dataclass, replace

import numpy as np

from eavewell.site.rain_record import DayArray, FloatArray, Mark, RainRecord
from eavewell.tables import table
from eavewell.weather.counted import counted


@dataclass(frozen=True, slots=True, eq=False)
class Totals:
    """Multi-day totals by the day they were read.

    days : number of days each covers, its own included; NaN where the file does not say.
    """

    dates: DayArray
    depth_mm: FloatArray
    days: FloatArray


def spread(record: RainRecord, totals: Totals) -> RainRecord:
    """Spread each total evenly over the unread days it covers, less what was read on others.

    A total of unknown span covers the unread days straight before it, up to 31 (common
    practice); one whose every day was read already is left out.
    """
    rain_mm, marks = record.rain_mm.copy(), record.marks.copy()
    rows = (totals.dates - np.datetime64(record.first_day, "D")).astype(np.int64)
    done, guessed = 0, 0
    for row, depth_mm, days in zip(rows.tolist(), totals.depth_mm, totals.days, strict=True):
        if not 0 <= row < record.days:
            continue
        known = bool(days >= 1)
        first = row - int(days) + 1 if known else _first_unread(rain_mm, row)
        span = slice(max(first, 0), row + 1)
        unread = np.isnan(rain_mm[span])
        if not unread.any():
            continue
        left_mm = max(float(depth_mm) - float(np.nansum(rain_mm[span])), 0.0)
        rain_mm[span][unread] = left_mm / unread.sum()
        marks[span][unread] = Mark.ACCUMULATED
        done, guessed = done + 1, guessed + (not known)
    return replace(record, rain_mm=rain_mm, marks=marks, notes=record.notes + _notes(done, guessed))


def _first_unread(rain_mm: FloatArray, row: int) -> int:
    longest = int(table("rain_limits")["unknown_total_span"].value)
    first = row
    while first > 0 and row - first + 1 < longest and np.isnan(rain_mm[first - 1]):
        first -= 1
    return first


def _notes(done: int, guessed: int) -> tuple[str, ...]:
    if not done:
        return ()
    tail = f"; {guessed} did not say over how many days" if guessed else ""
    return (f"Spread evenly over its days: {counted(done, 'total')} over several days{tail}.",)
