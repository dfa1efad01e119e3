"""Whether rain within the day is as sharp as the site's own storms."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from eavewell.faults import EavewellFault
from eavewell.site.rain_record import DayArray, FloatArray
from eavewell.tables import table
from eavewell.weather.design_storm import DesignStorms
from eavewell.weather.extremes import fit_gev_hosking, l_moments_hosking

MINUTES = (5, 15, 60)
YEARS = (2, 10)
MOST_POWER = 6.0


@dataclass(frozen=True, slots=True)
class Maximum:
    """A yearly maximum as made, beside the site's own; ratio is made over site."""

    minutes: int
    years: int
    made_mm_h: float
    site_mm_h: float

    @property
    def ratio(self) -> float:
        """Made over site."""
        return self.made_mm_h / self.site_mm_h


@dataclass(frozen=True, slots=True)
class Anchored:
    """Yearly maxima of rain within the day beside the site's storms.

    donor_hour_share : the donor's own 2-year hour over the site's; None unknown.
    """

    maxima: tuple[Maximum, ...]
    donor_hour_share: float | None = None

    @property
    def agrees(self) -> bool:
        """Whether every maximum lies within the share of tables/fragments.csv."""
        rule = table("fragments")
        within = rule["agrees_within"].value
        near = all(abs(one.ratio - 1.0) <= within for one in self.maxima)
        share = self.donor_hour_share
        return near and (share is None or share >= rule["donor_hour_least"].value)

    def of(self, minutes: int, years: int) -> Maximum | None:
        """One of the maxima; None where it was not made."""
        return next((m for m in self.maxima if (m.minutes, m.years) == (minutes, years)), None)

    def share_of_hour(self, hours_mm: FloatArray) -> float | None:
        """A donor's 2-year hour over the site's."""
        ours, made = self.of(60, 2), _rare_mm(hours_mm, 2)
        return None if ours is None or made is None else made / ours.site_mm_h


def anchored(
    steps_mm: NDArray[np.float32], dates: DayArray, *, minutes: int, storms: DesignStorms
) -> Anchored | None:
    """Maxima of 5, 15 and 60 minutes once in 2 and 10 years; None where the site's are unknown.

    dates : of the wet days. Durations shorter than a step, and windows over midnight, are left out.
    """
    maxima = tuple(_maxima(steps_mm, dates, minutes=minutes, storms=storms))
    return Anchored(maxima) if maxima else None


def _maxima(
    steps_mm: NDArray[np.float32], dates: DayArray, *, minutes: int, storms: DesignStorms
) -> Iterator[Maximum]:
    for duration in MINUTES:
        if duration % minutes:
            continue
        greatest = most_mm(steps_mm, dates, steps=duration // minutes)
        for years in YEARS:
            ours, made = storms.intensity(duration, years), _rare_mm(greatest, years)
            if ours is not None and made is not None:
                yield Maximum(duration, years, made * 60.0 / duration, ours.mm_h)


def most_mm(steps_mm: "NDArray[np.floating]", dates: DayArray, *, steps: int) -> FloatArray:
    """Greatest depth in so many steps of each calendar year that has a wet day, shape (year,)."""
    sums = np.zeros((steps_mm.shape[0], steps_mm.shape[1] + 1))
    np.cumsum(steps_mm, axis=1, out=sums[:, 1:])
    of_day = (sums[:, steps:] - sums[:, :-steps]).max(axis=1)
    years = dates.astype("datetime64[Y]").astype(np.int64)
    first = np.flatnonzero(np.diff(years, prepend=years[:1] - 1))
    return np.asarray(np.maximum.reduceat(of_day, first))


def _rare_mm(greatest_mm: FloatArray, years: int) -> float | None:
    if greatest_mm.size < table("extremes")["least_years"].value:
        return None
    try:
        return float(fit_gev_hosking(l_moments_hosking(greatest_mm)).depth_mm(years))
    except EavewellFault:
        return None


def power_to_meet(
    steps_mm: NDArray[np.float32], dates: DayArray, *, minutes: int, anchor: Anchored
) -> float | None:
    """Power that draws each day's rain together until the shortest 2-year maximum is the site's.

    None where it is sharp enough already or no power reaches.
    """
    shortest = min(anchor.maxima, key=lambda one: (one.minutes, one.years))
    if shortest.ratio >= 1.0 or shortest.years != min(YEARS):
        return None
    steps, wanted_mm = shortest.minutes // minutes, shortest.site_mm_h * shortest.minutes / 60.0
    depth = steps_mm.sum(axis=1, dtype=np.float64, keepdims=True)
    shares = steps_mm / depth

    def made_mm(power: float) -> float:
        drawn = shares**power
        drawn *= depth / drawn.sum(axis=1, keepdims=True)
        return _rare_mm(most_mm(drawn, dates, steps=steps), shortest.years) or 0.0

    if made_mm(MOST_POWER) < wanted_mm:
        return None
    low, high = 1.0, MOST_POWER
    for _ in range(12):
        middle = (low + high) / 2.0
        low, high = (middle, high) if made_mm(middle) < wanted_mm else (low, middle)
    return high
