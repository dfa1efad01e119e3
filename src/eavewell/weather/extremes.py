"""Rare rain: yearly greatest days, their L-moments, and the depth of a return period."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from eavewell.faults import Fault, OutOfRange
from eavewell.site.rain_record import DayArray, FloatArray
from eavewell.tables import table
from eavewell.weather.limits import figures, outside, refuse


@dataclass(frozen=True, slots=True, eq=False)
class YearlyGreatest:
    """The greatest day of each full year; both arrays have shape (year,)."""

    years: NDArray[np.int64]
    rain_mm: FloatArray


@dataclass(frozen=True, slots=True)
class LMoments:
    """Sample L-moments: mean, L-scale, L-skewness and L-kurtosis, the last two as ratios."""

    mean_mm: float
    scale_mm: float
    skewness: float
    kurtosis: float


@dataclass(frozen=True, slots=True)
class ExtremeValues:
    """A generalised extreme-value distribution, by hosking1985; a shape of 0 is Gumbel's.

    shape : below 0 the tail is heavy; above 0 the depth has an upper end.
    """

    location_mm: float
    scale_mm: float
    shape: float

    def depth_mm(self, return_years: ArrayLike) -> FloatArray:
        """Depth passed once in so many years on average, over 1 to 10,000 years."""
        refuse(outside("return period", return_years, low=1.0001, high=10000.0, unit="years"))
        y = -np.log(-np.log1p(-1.0 / figures(return_years)))
        if self.shape == 0.0:
            return np.asarray(self.location_mm + self.scale_mm * y)
        return np.asarray(self.location_mm - self.scale_mm / self.shape * np.expm1(-self.shape * y))


def yearly_greatest(rain_mm: FloatArray, dates: DayArray) -> YearlyGreatest:
    """Find the greatest day of each calendar year; years with too many missing days are left out.

    A year counts from the table's share of known days up (common practice).
    """
    if not rain_mm.size:
        return YearlyGreatest(np.zeros(0, dtype=np.int64), np.zeros(0))
    year = dates.astype("datetime64[Y]").astype(np.int64) + 1970
    first = np.flatnonzero(np.diff(year, prepend=year[0] - 1))
    known = np.add.reduceat((~np.isnan(rain_mm)).astype(np.int64), first)
    greatest = np.fmax.reduceat(rain_mm, first)
    years = year[first]
    leap = (years % 4 == 0) & ((years % 100 != 0) | (years % 400 == 0))
    full = known >= table("extremes")["full_year_share"].value * (365 + leap)
    return YearlyGreatest(years[full], greatest[full])


def l_moments_hosking(sample_mm: FloatArray) -> LMoments:
    """Unbiased sample L-moments by probability-weighted moments; hosking1990.

    sample_mm : at least four values, any order, no NaN, not all equal.
    """
    x = np.sort(figures(sample_mm))
    n = x.size
    if n < 4 or np.isnan(x).any() or x[0] == x[-1]:
        raise OutOfRange("L-moments need four or more known values that are not all equal.")
    rank = np.arange(n)
    weight = np.ones(n)
    b = [float(x.mean())]
    for r in range(1, 4):
        weight = weight * (rank - r + 1) / (n - r)
        b.append(float((weight * x).mean()))
    scale = 2 * b[1] - b[0]
    third = 6 * b[2] - 6 * b[1] + b[0]
    fourth = 20 * b[3] - 30 * b[2] + 12 * b[1] - b[0]
    return LMoments(b[0], scale, third / scale, fourth / scale)


def fit_gev_hosking(moments: LMoments) -> ExtremeValues:
    """Fit a generalised extreme-value distribution to L-moments; hosking1985.

    The closed fit of the shape holds for an L-skewness of -0.5 to 0.5; beyond it is refused.
    """
    limits = table("extremes")
    limit = limits["skew_limit"].value
    refuse(outside("L-skewness", moments.skewness, low=-limit, high=limit, unit=""))
    c = 2.0 / (3.0 + moments.skewness) - math.log(2.0) / math.log(3.0)
    shape = limits["shape_fit_c1"].value * c + limits["shape_fit_c2"].value * c**2
    if abs(shape) < 1e-6:
        return fit_gumbel(moments)
    gamma = math.gamma(1.0 + shape)
    scale_mm = moments.scale_mm * shape / ((1.0 - 2.0**-shape) * gamma)
    return ExtremeValues(moments.mean_mm - scale_mm * (1.0 - gamma) / shape, scale_mm, shape)


def fit_gumbel(moments: LMoments) -> ExtremeValues:
    """Fit Gumbel's distribution to the first two L-moments; hosking1990."""
    scale_mm = moments.scale_mm / math.log(2.0)
    return ExtremeValues(moments.mean_mm - float(np.euler_gamma) * scale_mm, scale_mm, 0.0)


def rare_rain(rain_mm: FloatArray, dates: DayArray) -> ExtremeValues:
    """Fit the yearly greatest days of a record; too few full years are refused."""
    greatest = yearly_greatest(rain_mm, dates)
    least = int(table("extremes")["least_years"].value)
    if greatest.years.size < least:
        raise OutOfRange(
            Fault(
                f"the record has {greatest.years.size} full years, under the {least} that rare "
                "rain needs; use a published table of the place's storms."
            )
        )
    return fit_gev_hosking(l_moments_hosking(greatest.rain_mm))
