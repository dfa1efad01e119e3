"""A rain record as it was read: daily on an unbroken calendar, or in short steps."""

from dataclasses import dataclass, field
from datetime import date, timedelta
from enum import IntFlag

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
DayArray = NDArray[np.datetime64]


class Mark(IntFlag):
    """What is known about one day's rain; several may hold at once."""

    MEASURED = 0
    MISSING = 1
    TRACE = 2
    FLAGGED = 4
    ACCUMULATED = 8
    DOUBLED = 16
    SUSPICIOUS = 32
    FILLED_NEIGHBOUR = 64
    FILLED_SEASON = 128
    EXTENDED = 256


@dataclass(frozen=True, slots=True, eq=False)
class RainRecord:
    """Daily rain on an unbroken calendar, as water equivalent.

    name      : the station or file as shown to a reader.
    first_day : the date of row 0.
    rain_mm   : depth of each day, shape (day,); NaN where missing.
    marks     : Mark bits of each day, shape (day,), unsigned 16-bit.
    tmax_c, tmin_c : warmest and coldest of each day, shape (day,), NaN where missing; None
                     where the record has no temperatures.
    station   : station number, "" where unknown.
    latitude, longitude, elevation_m : of the gauge; None where unknown.
    invented  : True for a climate of ours that no gauge measured.
    at_site   : True for a record made at the site itself.
    notes     : sentences on what the reader noticed.
    """

    name: str
    first_day: date
    rain_mm: FloatArray
    marks: NDArray[np.uint16]
    tmax_c: FloatArray | None = None
    tmin_c: FloatArray | None = None
    station: str = ""
    latitude: float | None = None
    longitude: float | None = None
    elevation_m: float | None = None
    invented: bool = False
    at_site: bool = False
    notes: tuple[str, ...] = ()

    @property
    def days(self) -> int:
        """Number of days, gaps included."""
        return int(self.rain_mm.size)

    @property
    def last_day(self) -> date:
        """Date of the last row."""
        return self.first_day + timedelta(days=self.days - 1)

    @property
    def dates(self) -> DayArray:
        """Date of every row, shape (day,)."""
        start = np.datetime64(self.first_day, "D")
        return start + np.arange(self.days)

    @property
    def missing(self) -> NDArray[np.bool_]:
        """True where a day has no value, shape (day,)."""
        return np.isnan(self.rain_mm)


@dataclass(frozen=True, slots=True, eq=False)
class StepRain:
    """Rain in steps shorter than a day; only wet steps are kept.

    step_minutes : length of one step.
    starts       : start of each wet step, datetime64[m], rising, shape (step,).
    rain_mm      : depth in each wet step, shape (step,).
    first_day, last_day : the period watched; dry steps inside it are not listed.
    missing_days : days inside the period without a trustworthy value.
    """

    name: str
    step_minutes: int
    starts: NDArray[np.datetime64]
    rain_mm: FloatArray
    first_day: date
    last_day: date
    missing_days: frozenset[date] = frozenset()
    station: str = ""
    notes: tuple[str, ...] = field(default=())
