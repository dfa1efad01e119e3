"""The storm that a part must carry: its intensity by duration and return period, and from where.

In order: a table of the place's storms, a city's published hourly rate, the daily record itself.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from eavewell.faults import BadSite, EavewellFault
from eavewell.site.rain_record import FloatArray, RainRecord
from eavewell.site.storm import Storm
from eavewell.site.storm_table import StormTable
from eavewell.tables import Entry, rows, sources
from eavewell.tables import table as published
from eavewell.weather.extremes import (
    ExtremeValues,
    fit_gev_hosking,
    fit_gumbel,
    l_moments_hosking,
    yearly_greatest,
)

_CITY_YEARS, _CITY_MINUTES = 100.0, 60.0
_LONGEST_MINUTES = 1440.0


@dataclass(frozen=True, slots=True)
class Intensity:
    """Rain of a duration and a return period.

    low_mm_h, high_mm_h : bounds of the table, or what the ratios used leave open.
    says : where it comes from, in words.
    """

    mm_h: float
    low_mm_h: float
    high_mm_h: float
    minutes: float
    years: float
    says: str


@dataclass(frozen=True, slots=True)
class Purpose:
    """Which storm a part is sized for, with the source of that rule."""

    years: float
    minutes: float
    source: str
    place: str


class _Basis(Protocol):
    """Where intensities come from."""

    @property
    def least_years(self) -> float: ...

    @property
    def most_years(self) -> float: ...

    def band_mm(self, minutes: float, years: float) -> tuple[float, float, float] | None:
        """Depth with its low and high; None outside the range it holds for."""


@dataclass(frozen=True, slots=True, eq=False)
class DesignStorms:
    """The storms of a site.

    kind : "table", "city", "record" or "unknown". says : the basis in words, or why there is none.
    """

    kind: str
    says: str
    basis: _Basis | None = None

    def intensity(self, minutes: float, years: float) -> Intensity | None:
        """Intensity with its range; None where it is unknown or outside the basis's range."""
        band = self.basis.band_mm(minutes, years) if self.basis else None
        if band is None:
            return None
        mm_h, low, high = (depth * 60.0 / minutes for depth in band)
        says = f"{years:g}-year {minutes:g}-minute rain: {self.says}"
        return Intensity(mm_h, low, high, minutes, years, says)

    def years_of(self, minutes: float, mm_h: float) -> float | None:
        """Return period of an intensity; infinity beyond the basis, None below it or unknown."""
        if self.basis is None:
            return None
        low, high = math.log(self.basis.least_years), math.log(self.basis.most_years)
        least, most = (self.intensity(minutes, math.exp(end)) for end in (low, high))
        if least is None or most is None or mm_h < least.mm_h:
            return None
        if mm_h > most.mm_h:
            return math.inf
        for _ in range(50):
            middle = (low + high) / 2.0
            found = self.intensity(minutes, math.exp(middle))
            assert found is not None
            low, high = (middle, high) if found.mm_h < mm_h else (low, middle)
        return math.exp(high)


def storm_for(purpose: str) -> Purpose:
    """The storm a purpose asks for, from tables/storm_purposes.csv; KeyError for another."""
    row = {row["purpose"]: row for row in rows("storm_purposes")}[purpose]
    title = sources()[row["source"]]["title"]
    return Purpose(float(row["years"]), float(row["minutes"]), title, row["place"])


def site_storms(storm: Storm, record: RainRecord, *, table: StormTable | None) -> DesignStorms:
    """The storms of a site: its table, else its city, else its own daily record.

    Raises BadSite where the city is not in tables/city_storms.csv.
    """
    if table is not None:
        said = ", ".join(filter(None, (table.place, table.document)))
        return DesignStorms("table", said, _TableBasis(table))
    if storm.city:
        return _of_city(storm.city)
    return _of_record(record)


def cities() -> tuple[str, ...]:
    """Cities with a published 100-year one-hour rate."""
    return tuple(row["city"] for row in rows("city_storms"))


def _of_city(city: str) -> DesignStorms:
    known = {row["city"]: float(row["in_h"]) * 25.4 for row in rows("city_storms")}
    if city not in known:
        raise BadSite(f"[storm] there is no city '{city}'; known are {'; '.join(known)}.")
    said = (
        f"{city}, published 100-year one-hour rate; other durations and return periods by ratios "
        "of other places"
    )
    return DesignStorms("city", said, _CityBasis(known[city]))


def _of_record(record: RainRecord) -> DesignStorms:
    years = yearly_greatest(record.rain_mm, record.dates)
    least = int(published("extremes")["least_years"].value)
    if years.years.size < least:
        says = f"the record has {years.years.size} full years; rare rain needs {least}"
        return DesignStorms("unknown", says)
    try:
        moments = l_moments_hosking(years.rain_mm)
        fits = (fit_gev_hosking(moments), fit_gumbel(moments))
    except EavewellFault as refused:
        return DesignStorms("unknown", f"rare rain cannot be fitted: {refused}")
    said = (
        f"{record.name}, the greatest day of {years.years.size} years, brought to shorter times "
        "by ratios of other places"
    )
    return DesignStorms("record", said, _RecordBasis(fits, 2.0 * years.years.size))


@dataclass(frozen=True, slots=True, eq=False)
class _TableBasis:
    table: StormTable

    @property
    def least_years(self) -> float:
        return self.table.years[0]

    @property
    def most_years(self) -> float:
        return self.table.years[-1]

    def band_mm(self, minutes: float, years: float) -> tuple[float, float, float] | None:
        ours = self.table
        inside = ours.minutes[0] <= minutes <= ours.minutes[-1]
        if not inside or not ours.years[0] * (1 - 1e-9) <= years <= ours.years[-1] * (1 + 1e-9):
            return None
        depth = _between(ours.depth_mm, ours, minutes=minutes, years=years)
        low = (
            depth
            if ours.low_mm is None
            else _between(ours.low_mm, ours, minutes=minutes, years=years)
        )
        high = (
            depth
            if ours.high_mm is None
            else _between(ours.high_mm, ours, minutes=minutes, years=years)
        )
        return depth, low, high


def _between(depths: FloatArray, ours: StormTable, *, minutes: float, years: float) -> float:
    """Straight between logarithms of depth, duration and return period; rows are met exactly."""
    along = [np.interp(math.log(years), np.log(ours.years), row) for row in np.log(depths)]
    return float(np.exp(np.interp(math.log(minutes), np.log(ours.minutes), along)))


@dataclass(frozen=True, slots=True, eq=False)
class _CityBasis:
    hour_mm: float
    least_years: float = 2.0
    most_years: float = _CITY_YEARS

    def band_mm(self, minutes: float, years: float) -> tuple[float, float, float] | None:
        growth, short = _growth(years), _short(minutes)
        if growth is None or short is None:
            return None
        return _product(self.hour_mm, (growth, short))


@dataclass(frozen=True, slots=True, eq=False)
class _RecordBasis:
    fits: tuple[ExtremeValues, ...]
    most_years: float
    least_years: float = 2.0

    def band_mm(self, minutes: float, years: float) -> tuple[float, float, float] | None:
        to_short = _of_day(minutes)
        if to_short is None or not self.least_years <= years <= self.most_years * (1 + 1e-9):
            return None
        days = [float(fit.depth_mm(years)) for fit in self.fits]
        depth = _product(days[0], to_short)[0]
        low, high = _product(min(days), to_short)[1], _product(max(days), to_short)[2]
        return depth, low, high


def _of_day(minutes: float) -> tuple[Entry, ...] | None:
    """Ratios that lead from a gauge's day to a duration of at most an hour, or to the whole day."""
    ratios = published("storm_ratios")
    sliding = ratios["24 h of a gauge day"]
    if minutes == _LONGEST_MINUTES:
        return (sliding,)
    short = _short(minutes)
    return None if short is None else (sliding, ratios["60 min of 24 h"], short)


def _short(minutes: float) -> Entry | None:
    """Share of an hour's depth in a shorter time, between the rows; None beyond 5 to 60 minutes."""
    known = list(_short_rows())
    return _straight(math.log(minutes), [(math.log(at), entry) for at, entry in known])


def _short_rows() -> Iterator[tuple[float, Entry]]:
    for name, entry in published("storm_ratios").items():
        if name.endswith(" of 60 min"):
            yield float(name.split()[0]), entry
    yield _CITY_MINUTES, Entry("hour", 1.0, 1.0, 1.0, "share", "", "")


def _growth(years: float) -> Entry | None:
    """Share of the 100-year depth at another return period; None beyond 2 to 100 years."""
    known = []
    for row in rows("storm_growth"):
        value, low, high = (float(row[key]) for key in ("value", "low", "high"))
        entry = Entry(row["years"], value, low, high, "share", row["source"], row["place"])
        known.append((math.log(float(row["years"])), entry))
    return _straight(math.log(years), known)


def _straight(at: float, known: list[tuple[float, Entry]]) -> Entry | None:
    places = [place for place, _ in known]
    if not places[0] - 1e-9 <= at <= places[-1] + 1e-9:
        return None
    value, low, high = (
        float(np.interp(at, places, [getattr(entry, part) for _, entry in known]))
        for part in ("value", "low", "high")
    )
    return Entry("between", value, low, high, "share", "", "")


def _product(start_mm: float, factors: tuple[Entry, ...]) -> tuple[float, float, float]:
    value = low = high = start_mm
    for factor in factors:
        value, low, high = value * factor.value, low * factor.low, high * factor.high
    return value, low, high
