"""How well a system supplied its uses: shares, days and dated shortfalls."""

from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from eavewell.site.rain_record import DayArray, FloatArray
from eavewell.storage.balance import Balance
from eavewell.storage.lanes import SHORT_SHARE
from eavewell.storage.series import Series

YEAR_DAYS = 365.25


@dataclass(frozen=True, slots=True)
class Shortfall:
    """A run of days short of the planned ration.

    short_days counts the short days alone; days on which nothing was wanted may lie between.
    """

    first: date
    last: date
    short_days: int
    missing_l: float


@dataclass(frozen=True, slots=True)
class UseReliability:
    """One use over the whole run; full, rationed and short days are three figures.

    supplied_share : volumetric reliability. days_met_share : time reliability, full days only.
    wanted_days    : days on which anything was wanted; the other days count as full.
    """

    name: str
    wanted_l_year: float
    supplied_l_year: float
    make_up_l_year: float
    supplied_share: float
    days_met_share: float
    wanted_days: int
    full_days: int
    rationed_days: int
    short_days: int
    longest: Shortfall | None
    worst: Shortfall | None


@dataclass(frozen=True, slots=True)
class Reliability:
    """The system over the whole run.

    spilled_share : of all water that came in. longest, worst : of any one use.
    start_l, end_l : held by all stores on the first morning and on the last evening.
    worst_year_loads : of calendar years; of several trucks each one's own worst year.
    """

    days: int
    supplied_share: float
    days_met_share: float
    spilled_share: float
    start_l: float
    end_l: float
    inflow_l_year: float
    spilled_l_year: float
    lost_l_year: float
    make_up_l_year: float
    hauled_l_year: float
    loads_year: float
    worst_year_loads: int
    longest: Shortfall | None
    worst: Shortfall | None
    uses: tuple[UseReliability, ...]
    balance_error_l: float


def reliability(balance: Balance, series: Series, *, names: tuple[str, ...]) -> Reliability:
    """Reliability of the one lane whose every day was kept, run through the series.

    names : of the uses in their order of service. Raises ValueError where no day was kept.
    """
    if balance.every_day is None:
        raise ValueError("reliability with dates needs the days of a lane: run with keep_lane.")
    years, sums = balance.days / YEAR_DAYS, balance.sums
    uses = tuple(_use(balance, u, series=series, name=name) for u, name in enumerate(names))
    inflow = float(balance.inflow_l[0])
    make_up = float(sums.make_up_l[:, 0].sum() + balance.mains_l[0])
    return Reliability(
        days=balance.days,
        supplied_share=float(balance.supplied_share[0]),
        days_met_share=float(balance.met_share[0]),
        spilled_share=float(balance.spilled_share[0]),
        start_l=float(balance.start_l[0]),
        end_l=float(balance.end_l[:, 0].sum()),
        inflow_l_year=inflow / years,
        spilled_l_year=float(balance.away_l[0]) / years,
        lost_l_year=float(sums.lost_l[:, 0].sum()) / years,
        make_up_l_year=make_up / years,
        hauled_l_year=float(balance.hauled_l[0]) / years,
        loads_year=float(sums.loads[:, 0].sum()) / years,
        worst_year_loads=int(sums.worst_year_loads[:, 0].sum()),
        longest=_longest([use.longest for use in uses if use.longest]),
        worst=_worst([use.worst for use in uses if use.worst]),
        uses=uses,
        balance_error_l=float(balance.error_l[0]),
    )


def shortfalls(wanted_l: FloatArray, missing_l: FloatArray, *, dates: DayArray) -> list[Shortfall]:
    """Every run of short days; a day on which nothing is wanted neither breaks nor lengthens it.

    wanted_l  : shape (day,), before ration stages.
    missing_l : of the planned ration, shape (day,). A day that gets its ration ends a run.
    """
    wanted = np.flatnonzero(wanted_l > 0.0)
    is_short = missing_l[wanted] > SHORT_SHARE * wanted_l[wanted]
    edges = np.flatnonzero(np.diff(np.concatenate(([0], is_short.astype(np.int8), [0]))))
    total = np.concatenate(([0.0], np.cumsum(missing_l[wanted])))
    return [
        Shortfall(
            first=_date(dates, wanted[a]),
            last=_date(dates, wanted[b - 1]),
            short_days=int(b - a),
            missing_l=float(total[b] - total[a]),
        )
        for a, b in edges.reshape(-1, 2)
    ]


def _use(balance: Balance, u: int, *, series: Series, name: str) -> UseReliability:
    every, years, sums = balance.every_day, balance.days / YEAR_DAYS, balance.sums
    assert every is not None
    wanted, missing = series.demand_l[:, u], every.planned_l[:, u] - every.supplied_l[:, u]
    short = shortfalls(wanted, missing, dates=series.dates)
    rationed, missed = int(sums.rationed_days[u, 0]), int(sums.short_days[u, 0])
    return UseReliability(
        name=name,
        wanted_l_year=float(balance.wanted_l[u, 0]) / years,
        supplied_l_year=float(sums.supplied_l[u, 0]) / years,
        make_up_l_year=float(sums.make_up_l[u, 0]) / years,
        supplied_share=float(balance.use_supplied_share[u, 0]),
        days_met_share=float(balance.use_met_share[u, 0]),
        wanted_days=int(np.count_nonzero(wanted > 0.0)),
        full_days=balance.days - rationed - missed,
        rationed_days=rationed,
        short_days=missed,
        longest=_longest(short),
        worst=_worst(short),
    )


def _longest(short: list[Shortfall]) -> Shortfall | None:
    return max(short, key=lambda spell: (spell.short_days, spell.missing_l), default=None)


def _worst(short: list[Shortfall]) -> Shortfall | None:
    return max(short, key=lambda spell: spell.missing_l, default=None)


def _date(dates: DayArray, row: np.int64) -> date:
    day: date = dates[row].astype("datetime64[D]").astype(object)
    return day


def month_rows(dates: DayArray) -> NDArray[np.int64]:
    """The calendar month of each day, from 0 for January, shape (day,).

    Days without a gap are told month by month, which is ten times faster than day by day.
    """
    days = dates.astype("datetime64[D]")
    if days.size == 0 or np.any(np.diff(days) != np.timedelta64(1, "D")):
        return np.asarray(days.astype("datetime64[M]").astype(np.int64) % 12)
    first, last = days[0].astype("datetime64[M]"), days[-1].astype("datetime64[M]")
    months = np.arange(first, last + 1)
    begins = months.astype("datetime64[D]")
    begins[0] = days[0]
    lengths = np.diff(begins, append=days[-1] + 1).astype(np.int64)
    return np.repeat(months.astype(np.int64) % 12, lengths)


def monthly_means(values: FloatArray, dates: DayArray) -> NDArray[np.float64]:
    """Mean of a daily series in each calendar month, January first, shape (12,)."""
    months = month_rows(dates)
    sums = np.bincount(months, weights=values, minlength=12)
    return sums / np.maximum(np.bincount(months, minlength=12), 1)
