"""The figures of a record that a designer reads first: years, worst spells, months."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from eavewell.site.rain_record import FloatArray, Mark, RainRecord
from eavewell.tables import table
from eavewell.weather.years import WholeArray, full_years, month_of_day, runs_of, year_of_day

FILLED = np.uint16(Mark.FILLED_SEASON)
UNMEASURED = np.uint16(Mark.FILLED_NEIGHBOUR | Mark.FILLED_SEASON | Mark.EXTENDED)
Flags = NDArray[np.bool_]
WINDOWS_DAYS = {1: 30, 3: 91, 6: 182, 12: 365, 24: 730}


@dataclass(frozen=True, slots=True)
class Spell:
    """Consecutive days and the rain that fell in them.

    unmeasured_days : days among them that were filled or taken from a neighbour.
    """

    first: date
    last: date
    days: int
    rain_mm: float
    unmeasured_days: int = 0


@dataclass(frozen=True, slots=True)
class Month:
    """One month over the whole months of the record; NaN where there is none."""

    month: int
    mean_mm: float
    tenth_mm: float
    middle_mm: float
    ninetieth_mm: float
    wet_day_share: float


@dataclass(frozen=True, slots=True)
class RainFigures:
    """Figures of a record.

    mean_year_mm : mean of the full years; NaN where there is none.
    driest, wettest : by length in months (30, 91, 182, 365, 730 days); no window with a gap, and
                   none of which more than a tenth was filled from other years while there is
                   another of its length.
    longest_dry  : longest run of days below the wet-day depth; a gap ends it. Of a run filled by
                   more than a tenth only the measured part counts, if it has any.
    """

    full_years: tuple[int, ...]
    mean_year_mm: float
    driest: dict[int, Spell]
    wettest: dict[int, Spell]
    longest_dry: Spell | None
    months: tuple[Month, ...]
    starts_in_dry_spell: bool
    ends_in_dry_spell: bool
    ends_long_ago: bool
    is_short: bool
    sentences: tuple[str, ...]


def rain_figures(record: RainRecord, *, today: date | None = None) -> RainFigures:
    """Work out the figures of a record.

    today : the day against which the record's end is judged; None takes the present day.
    """
    limits = table("rain_limits")
    years = full_years(record)
    year = year_of_day(record)
    totals = [float(np.nansum(record.rain_mm[year == y])) for y in years]
    dry = record.rain_mm < limits["wet_day"].value
    runs = runs_of(dry)
    age_days = ((today or date.today()) - record.last_day).days
    starts, ends = _edge_runs(runs, record.days, least=limits["inside_dry_spell"].value)
    is_short = record.days < limits["short_record"].value * 365.25 - 1
    ends_long_ago = age_days > limits["stale_record"].value
    return RainFigures(
        full_years=years,
        mean_year_mm=float(np.mean(totals)) if totals else float("nan"),
        driest=_windows(record, pick=np.nanargmin),
        wettest=_windows(record, pick=np.nanargmax),
        longest_dry=_longest(record, dry),
        months=tuple(
            _month(record, month, wet_day_mm=limits["wet_day"].value) for month in range(1, 13)
        ),
        starts_in_dry_spell=starts,
        ends_in_dry_spell=ends,
        ends_long_ago=ends_long_ago,
        is_short=is_short,
        sentences=_sentences(record, starts, ends=ends, ended=ends_long_ago, short=is_short),
    )


def _spell(record: RainRecord, row: int, *, days: int) -> Spell:
    first = record.first_day + timedelta(days=int(row))
    total_mm = float(record.rain_mm[row : row + days].sum())
    unmeasured = int(np.count_nonzero(record.marks[row : row + days] & UNMEASURED))
    return Spell(first, first + timedelta(days=int(days) - 1), int(days), total_mm, unmeasured)


def _longest(record: RainRecord, dry: Flags) -> Spell | None:
    filled = (record.marks & FILLED) > 0
    whole = runs_of(dry)
    measured = np.concatenate([_little_filled(whole, filled), runs_of(dry & ~filled)])
    runs = measured if measured.size else whole
    if not runs.size:
        return None
    row, days = runs[int(np.argmax(runs[:, 1]))].tolist()
    return _spell(record, row, days=days)


def _little_filled(runs: WholeArray, filled: Flags) -> WholeArray:
    """The runs of which at most a tenth was filled from other years."""
    before = np.r_[0, np.cumsum(filled)]
    share = (before[runs.sum(axis=1)] - before[runs[:, 0]]) / runs[:, 1]
    kept: WholeArray = runs[share <= table("rain_limits")["most_filled"].value]
    return kept


def _windows(record: RainRecord, pick: Callable[[FloatArray], np.intp]) -> dict[int, Spell]:
    found = {}
    for months, days in WINDOWS_DAYS.items():
        sums = _measured_first(record, _moving_sums(record, days), days=days)
        if sums.size and not np.isnan(sums).all():
            found[months] = _spell(record, int(pick(sums)), days=days)
    return found


def _measured_first(record: RainRecord, sums: FloatArray, *, days: int) -> FloatArray:
    """NaN for windows filled by more than a tenth, as long as another window remains."""
    before = np.r_[0, np.cumsum((record.marks & FILLED) > 0)]
    most = table("rain_limits")["most_filled"].value * days
    measured = np.where(before[days:] - before[:-days] > most, np.nan, sums)
    return sums if np.isnan(measured).all() else measured


def _moving_sums(record: RainRecord, days: int) -> FloatArray:
    """Sum of every window of that many days, NaN where it holds a gap, shape (window,)."""
    depth = np.r_[0.0, np.cumsum(np.nan_to_num(record.rain_mm))]
    gaps = np.r_[0, np.cumsum(record.missing)]
    sums = depth[days:] - depth[:-days]
    return np.where(gaps[days:] > gaps[:-days], np.nan, sums)


def _month(record: RainRecord, month: int, *, wet_day_mm: float) -> Month:
    inside = month_of_day(record) == month
    if not inside.any():
        nan = float("nan")
        return Month(month, nan, nan, nan, nan, nan)
    years = year_of_day(record)[inside]
    depth = record.rain_mm[inside]
    known = ~np.isnan(depth)
    days = np.bincount(years - years[0], weights=known)
    sums = np.bincount(years - years[0], weights=np.nan_to_num(depth))
    whole = sums[days >= 28] if month == 2 else sums[days >= (30 if month in (4, 6, 9, 11) else 31)]
    share = float((depth[known] >= wet_day_mm).mean()) if known.any() else float("nan")
    if not whole.size:
        nan = float("nan")
        return Month(month, nan, nan, nan, nan, share)
    tenth, middle, ninetieth = (float(v) for v in np.quantile(whole, (0.1, 0.5, 0.9)))
    return Month(month, float(whole.mean()), tenth, middle, ninetieth, share)


def _edge_runs(runs: WholeArray, days: int, *, least: float) -> list[bool]:
    if not runs.size:
        return [False, False]
    first, last = runs[0], runs[-1]
    return [
        bool(first[0] == 0 and first[1] >= least),
        bool(last.sum() == days and last[1] >= least),
    ]


def _sentences(
    record: RainRecord, starts: bool, *, ends: bool, ended: bool, short: bool
) -> tuple[str, ...]:
    says = []
    if starts:
        says.append(f"The record starts inside a dry spell ({record.first_day}): it may be longer.")
    if ends:
        says.append(f"The record ends inside a dry spell ({record.last_day}): it may be longer.")
    if ended:
        says.append(f"The record ends on {record.last_day}, more than 12 months ago.")
    if short:
        years = record.days / 365.25
        says.append(f"The record holds {years:.1f} years; under 30 it may miss the worst drought.")
    return tuple(says)
