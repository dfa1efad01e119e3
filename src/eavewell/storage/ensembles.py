"""The range of every reliability figure, from years of the record drawn anew in blocks."""

import math
from dataclasses import dataclass

import numpy as np

from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.storage.arrangement import Lanes, arrange, lanes_as_drawn, spread
from eavewell.storage.balance import Balance
from eavewell.storage.in_service import run_in_service
from eavewell.storage.reliability import monthly_means
from eavewell.storage.series import Series, uses_in_order
from eavewell.tables import table
from eavewell.weather.synthetic import resampled_rows, whole_year_rows

TRACES = 200
DRY_WITHIN_YEARS = 10
LOW, HIGH = 5.0, 95.0


@dataclass(frozen=True, slots=True)
class Range:
    """The middle nine tenths of the traces, and their middle."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True, slots=True)
class Ensemble:
    """One system run through many traces.

    block_years : years that stay together. first_month : where blocks start, the month in which
                  the stores are usually fullest.
    uses_supplied : range of each use's supplied share, by name.
    longest_short_days : range of each use's longest run of short days, by name.
    short_in_10_years : chance of at least one short day within ten years, of each use by name.
    """

    traces: int
    years: int
    block_years: int
    first_month: int
    supplied_share: Range
    days_met_share: Range
    uses_supplied: dict[str, Range]
    longest_short_days: dict[str, Range]
    short_in_10_years: dict[str, float]


def fullest_month(level_l: FloatArray, series: Series) -> int:
    """The month (1 to 12) in which all stores together are usually fullest.

    level_l : evening level of every store, shape (day, store).
    """
    return int(np.argmax(monthly_means(level_l.sum(axis=1), series.dates))) + 1


def block_years(series: Series, usable_l: float) -> int:
    """At least three years, and at least the time that full stores last with no rain.

    usable_l : of all stores together.
    """
    daily = float(series.demand_l.sum(axis=1).mean())
    lasts = usable_l / daily / 365.25 if daily > 0.0 else 0.0
    return max(int(table("sizing")["least block"].value), math.ceil(lasts))


def ensemble(
    site: Site,
    series: Series,
    *,
    first_month: int,
    lanes: Lanes | None = None,
    block: int | None = None,
    seed: int = 1,
) -> Ensemble | None:
    """Run one system (the first lane) through traces drawn from the record's own years.

    first_month : where blocks start. block : years in a block; None takes `block_years`.
    None where the record holds fewer than ten whole years, or no more than one block.
    """
    one = lanes_as_drawn(site) if lanes is None else lanes
    known = len(whole_year_rows(series.dates, first_month))
    block = min(block or block_years(series, float(one.usable_l[:, 0].sum())), known)
    if known < max(table("sizing")["least record"].value, block + 1):
        return None
    whole = _Draw(years=known, block_years=block, first_month=first_month, seed=seed)
    ten = min(DRY_WITHIN_YEARS, known)
    decade = _Draw(years=ten, block_years=min(block, ten), first_month=first_month, seed=seed + 1)
    long, short = (_traces(site, series, lanes=one, draw=draw) for draw in (whole, decade))
    names = [use.name for use in uses_in_order(site)]
    spells = long.sums.longest_short_days
    ever = (short.sums.short_days > 0.0).mean(axis=1)
    return Ensemble(
        traces=TRACES,
        years=known,
        block_years=block,
        first_month=first_month,
        supplied_share=_range(long.supplied_share),
        days_met_share=_range(long.met_share),
        uses_supplied={n: _range(v) for n, v in zip(names, long.use_supplied_share, strict=True)},
        longest_short_days={n: _range(v) for n, v in zip(names, spells, strict=True)},
        short_in_10_years={n: float(v) for n, v in zip(names, ever, strict=True)},
    )


@dataclass(frozen=True, slots=True)
class _Draw:
    years: int
    block_years: int
    first_month: int
    seed: int


def _traces(site: Site, series: Series, *, lanes: Lanes, draw: _Draw) -> Balance:
    rows = resampled_rows(
        series.dates,
        years=draw.years,
        block_years=draw.block_years,
        first_month=draw.first_month,
        traces=TRACES,
        seed=draw.seed,
    )
    return run_in_service(site, arrange(site, series, lanes=spread(lanes, TRACES), day_row=rows))


def _range(values: FloatArray) -> Range:
    low, middle, high = np.percentile(values, [LOW, 50.0, HIGH])
    return Range(float(low), float(middle), float(high))
