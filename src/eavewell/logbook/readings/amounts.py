"""Amounts between readings set on days: spread for a meter, whole for rain in a gauge."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from eavewell.logbook.kept import DaySums, Times
from eavewell.logbook.readings.use_clock import half_way_days
from eavewell.site.rain_record import FloatArray
from eavewell.tables import table

_MS_OF_DAY, _MS_OF_HOUR = 86_400_000.0, 3_600_000.0


@dataclass(frozen=True, slots=True, eq=False)
class Amounts:
    """What came or went between two instants, one after the other; nan where unknown."""

    began_utc: Times
    ended_utc: Times
    amount: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class ByDay:
    """Amounts of days, nan where a part of the day is unknown; both of shape (day,).

    spread_days : length of what the figure is a part of, 1 for a day or less.
    """

    amount: FloatArray
    spread_days: FloatArray


def spread(amounts: Amounts, midnights: Times, *, by_household: bool = False) -> ByDay:
    """Each amount spread over its time; midnights of shape (day + 1,).

    Evenly, or by_household half way between evenly and as a household draws by day and night.
    """
    days = midnights.size - 1
    if not amounts.amount.size:
        return ByDay(np.full(days, np.nan), np.ones(days))
    instants = np.r_[amounts.began_utc, amounts.ended_utc[-1:]]
    knots, x = (_days(one, midnights, by_household=by_household) for one in (instants, midnights))
    known, apart = np.nan_to_num(amounts.amount), np.diff(knots)
    lengths = np.maximum(1.0, np.round(np.diff(instants).astype(np.float64) / _MS_OF_DAY))
    whole = np.diff(np.interp(x, knots, np.r_[0.0, np.cumsum(known)]))
    unknown = np.isnan(amounts.amount) * apart
    lost = np.diff(np.interp(x, knots, np.r_[0.0, np.cumsum(unknown)]))
    covered = (x[:-1] >= knots[0]) & (x[1:] <= knots[-1])
    over = np.diff(np.interp(x, knots, np.r_[0.0, np.cumsum(lengths * apart)]))
    share = np.diff(np.interp(x, knots, np.r_[0.0, np.cumsum(apart)]))
    good = covered & (lost <= 1e-9)
    mean = np.where(share > 0.0, over / np.where(share > 0.0, share, 1.0), 1.0)
    return ByDay(np.where(good, whole, np.nan), np.maximum(1.0, mean))


def _days(instants: Times, midnights: Times, *, by_household: bool) -> FloatArray:
    if by_household:
        return half_way_days(instants, midnights)
    return np.asarray((instants - midnights[0]).astype(np.float64) / _MS_OF_DAY)


def whole(amounts: Amounts, midnights: Times) -> ByDay:
    """Each amount in the day that holds the middle of its time.

    What was gathered over a day and a half or more is of no one day: those days stay unknown,
    unless nothing was gathered.
    """
    days = midnights.size - 1
    unknown = np.zeros(days, dtype=bool)
    if not amounts.amount.size:
        return ByDay(np.full(days, np.nan), np.ones(days))
    began, ended = (one.astype(np.float64) for one in (amounts.began_utc, amounts.ended_utc))
    x, lost = midnights.astype(np.float64), _lost(amounts)
    found = of_one_day(amounts, midnights)
    for k in np.flatnonzero(lost):
        first, last = np.searchsorted(x, [began[k], ended[k]], side="right") - 1
        unknown[max(first, 0) : max(last, 0) + 1] = True
    covered = _covered(began, ended, midnights=x)
    return ByDay(np.where(covered & ~unknown, found, np.nan), np.ones(days))


def of_one_day(amounts: Amounts, midnights: Times) -> FloatArray:
    """What is of one day, by day; nothing of what was gathered over more, shape (day,)."""
    found = np.zeros(midnights.size - 1)
    began, ended = (one.astype(np.float64) for one in (amounts.began_utc, amounts.ended_utc))
    day = np.searchsorted(midnights.astype(np.float64), (began + ended) / 2.0, side="right") - 1
    rows = (day >= 0) & (day < found.size) & ~_lost(amounts)
    np.add.at(found, day[rows], amounts.amount[rows])
    return found


def _lost(amounts: Amounts) -> NDArray[np.bool_]:
    return np.asarray(np.isnan(amounts.amount) | is_long(amounts))


def is_long(amounts: Amounts) -> NDArray[np.bool_]:
    """Where something was gathered over so long a time that it is of no one day."""
    longest = table("log_figures")["rain_gap"].value * _MS_OF_HOUR
    apart = (amounts.ended_utc - amounts.began_utc).astype(np.float64)
    return np.asarray((apart > longest) & (amounts.amount > 0.0))


def _covered(began: FloatArray, ended: FloatArray, *, midnights: FloatArray) -> NDArray[np.bool_]:
    """Days whose beginning and end lie within the time that was watched."""
    return np.asarray((midnights[:-1] >= began[0]) & (midnights[1:] <= ended[-1]))


def gathered(sums: DaySums) -> Amounts:
    """What a gauge that is emptied at each reading gathered, from its daily sums.

    What its first reading of all gathered has no beginning and is left out.
    """
    began, ended = [sums.last_at_utc[:-1]], [sums.first_at_utc[1:]]
    amount = [sums.first[1:]]
    more = sums.count > 1
    began.append(sums.first_at_utc[more])
    ended.append(sums.last_at_utc[more])
    amount.append((sums.total - sums.first)[more])
    order = np.argsort(np.concatenate(ended), kind="stable")
    return Amounts(
        np.concatenate(began)[order], np.concatenate(ended)[order], np.concatenate(amount)[order]
    )
