"""Made-up daily rain: a chain of wet and dry days with gamma depths, month by month."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from eavewell.faults import BadRecord, BadTable, Fault
from eavewell.site.rain_record import DayArray, FloatArray
from eavewell.tables import table
from eavewell.weather.limits import outside, refuse
from eavewell.weather.synthetic import refuse_wetter
from eavewell.weather.temperature import month_of

MONTH_DAYS = np.array([31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])


@dataclass(frozen=True, slots=True)
class RainMonth:
    """One month of a rain table: mean number of wet days, depth, and depth of a wet day."""

    wet_days: float
    depth_mm: float
    mean_wet_day_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class WetDryChain:
    """A first-order chain of wet and dry days; each array has shape (12,), January first.

    wet_after_dry, wet_after_wet : chance of a wet day after a dry and after a wet one.
    mean_wet_day_mm              : mean depth of a wet day.
    shape                        : shape of the gamma distribution of that depth.
    """

    wet_after_dry: FloatArray
    wet_after_wet: FloatArray
    mean_wet_day_mm: FloatArray
    shape: FloatArray

    @property
    def persistence(self) -> FloatArray:
        """How much a wet day favours another, shape (12,); 0 where days are independent."""
        return self.wet_after_wet - self.wet_after_dry

    @property
    def wet_share(self) -> FloatArray:
        """Long-run share of wet days, shape (12,)."""
        # A month that stays as it began (chance 0 after dry, 1 after wet) counts as dry.
        leaves = 1.0 - self.persistence
        return np.divide(self.wet_after_dry, leaves, out=np.zeros(12), where=leaves > 0.0)


def chain_from_record(rain_mm: FloatArray, dates: DayArray) -> WetDryChain:
    """Fit a chain to a record, month by month; missing days (NaN) are left out.

    A day is wet from the table's least depth up (common practice); rain on days below it is
    lost, so a chain rains a trifle less than its record. The gamma shape keeps mean and spread
    of the depths (moments); months with too few wet days take the shape of the whole year. A
    record without a wet day is refused.
    """
    least_mm = table("synthetic")["wet_day"].value
    wet, known, months = rain_mm >= least_mm, ~np.isnan(rain_mm), month_of(dates)
    if not wet.any():
        raise BadRecord("the record has no wet day, so no chain of wet and dry days fits it.")
    pair = np.concatenate(([False], known[1:] & known[:-1]))
    before = np.concatenate(([False], wet[:-1]))
    depth = [rain_mm[wet & (months == month)] for month in range(1, 13)]
    return WetDryChain(
        _share(wet, pair & ~before, months=months),
        _share(wet, pair & before, months=months),
        np.array([part.mean() if part.size else 0.0 for part in depth]),
        _shapes(depth, whole=rain_mm[wet]),
    )


def chain_from_table(months: Sequence[RainMonth]) -> WetDryChain:
    """Make a chain from twelve rows, January first: wet days, depth, depth of a wet day.

    Persistence follows from the share of wet days by geng1986; the gamma shape is the table's
    (common practice). A row whose three figures disagree by over 5 % is refused.
    """
    _check_table(months)
    wet = np.array([month.wet_days for month in months]) / MONTH_DAYS
    after_dry = table("synthetic")["wet_after_dry"].value * wet
    persistence = table("synthetic")["persistence"].value
    # At geng1986's figures, 0.75 and 0.25, the long-run share of wet days is the table's.
    return WetDryChain(
        after_dry,
        after_dry + persistence,
        np.array([month.mean_wet_day_mm for month in months]),
        np.full(12, table("synthetic")["gamma_shape"].value),
    )


def generate(
    chain: WetDryChain, first_day: date, *, days: int, seed: int | np.random.Generator
) -> FloatArray:
    """Make up daily rain from a chain; the same seed gives the same rain.

    Returns depths in mm, shape (day,).
    """
    rng = np.random.default_rng(seed)
    month = month_of(np.datetime64(first_day, "D") + np.arange(days)) - 1
    wet = _wet_days(chain, month, luck=rng.random(days))
    scale_mm = chain.mean_wet_day_mm / chain.shape
    depth_mm = rng.standard_gamma(chain.shape[month]) * scale_mm[month]
    return np.where(wet, depth_mm, 0.0)


def scaled(chain: WetDryChain, *, depth_factor: float, wet_day_factor: float) -> WetDryChain:
    """Change the depth of wet days and their share by a factor each, persistence kept.

    The share of wet days stays within 0 to 1 and persistence bends where it must.
    """
    refuse(
        outside("depth factor", depth_factor, low=0.0, high=10.0, unit=""),
        outside("wet-day factor", wet_day_factor, low=0.0, high=10.0, unit=""),
    )
    share = np.minimum(chain.wet_share * wet_day_factor, 1.0)
    rare, common = np.minimum(share, 1.0 - share), np.maximum(share, 1.0 - share)
    # Below this persistence one of the two chances would leave 0 to 1.
    persistence = np.maximum(chain.persistence, -rare / common)
    after_dry = share * (1.0 - persistence)
    return WetDryChain(
        after_dry,
        after_dry + persistence,
        chain.mean_wet_day_mm * depth_factor,
        chain.shape,
    )


def drier(chain: WetDryChain, *, depth_factor: float, wet_day_factor: float) -> WetDryChain:
    """Make a chain drier: both factors lie between 0 and 1."""
    refuse_wetter(depth_factor, wet_day_factor)
    return scaled(chain, depth_factor=depth_factor, wet_day_factor=wet_day_factor)


def _wet_days(
    chain: WetDryChain, month: NDArray[np.int64], *, luck: FloatArray
) -> NDArray[np.bool_]:
    """Walk the chain; the first day is wet with its month's long-run share."""
    if not luck.size:
        return np.zeros(0, dtype=bool)
    after_dry = (luck < chain.wet_after_dry[month]).tolist()
    after_wet = (luck < chain.wet_after_wet[month]).tolist()
    wet = bool(luck[0] < chain.wet_share[month[0]])
    walked = [wet]
    for if_dry, if_wet in zip(after_dry[1:], after_wet[1:], strict=True):
        wet = if_wet if wet else if_dry
        walked.append(wet)
    return np.array(walked)


def _share(
    wet: NDArray[np.bool_], among: NDArray[np.bool_], *, months: NDArray[np.int64]
) -> FloatArray:
    """Share of wet days among some days, by month; nil where a month has none of them."""
    counted = np.bincount(months[among], minlength=13)[1:]
    found = np.bincount(months[among & wet], minlength=13)[1:]
    return np.divide(found, counted, out=np.zeros(12), where=counted > 0)


def _shapes(depth: list[FloatArray], *, whole: FloatArray) -> FloatArray:
    enough = table("synthetic")["least_wet_days"].value
    whole_year = _gamma_shape(whole)
    return np.array([_gamma_shape(part) if part.size >= enough else whole_year for part in depth])


def _gamma_shape(depth_mm: FloatArray) -> float:
    """Shape that keeps mean and spread of the depths, and with them the spread of the months.

    Most likely fits lean on drizzle, which a gauge rounds; moments lean on the rain that counts.
    """
    highest = table("synthetic")["gamma_shape"].high
    spread = float(depth_mm.var())
    return float(depth_mm.mean()) ** 2 / spread if spread > 0.0 else highest


def _check_table(months: Sequence[RainMonth]) -> None:
    if len(months) != 12:
        raise BadTable(f"a rain table has 12 rows, January first, not {len(months)}.")
    faults = []
    for number, (row, length) in enumerate(zip(months, MONTH_DAYS, strict=True), start=1):
        if not 0.0 <= row.wet_days <= length or min(row.depth_mm, row.mean_wet_day_mm) < 0.0:
            faults.append(Fault(f"month {number} has impossible figures: {row}."))
        elif abs(row.wet_days * row.mean_wet_day_mm - row.depth_mm) > 0.05 * row.depth_mm:
            faults.append(
                Fault(
                    f"month {number}: {row.wet_days:g} wet days of {row.mean_wet_day_mm:g} mm "
                    f"do not make {row.depth_mm:g} mm."
                )
            )
    if faults:
        raise BadTable(faults)
