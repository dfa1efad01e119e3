"""A gauge's readings day by day: what a store keeps beside them, and what daily figures need."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from eavewell.logbook.kept import DaySums, Taken, Times
from eavewell.logbook.readings.midnights import days_from, local_date, midnights_utc
from eavewell.site.rain_record import FloatArray

# what of a day counts as early and as late
HOURS = np.timedelta64(3, "h")

Rows = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class _Middles:
    count: Rows
    at_utc: Times
    value: FloatArray


def summed(taken: Taken, zone: str) -> DaySums:
    """Sums of every day that has a reading, in the days of a time zone."""
    if not taken.count:
        return _none()
    first = local_date(taken.at_utc[0], zone)
    days = (local_date(taken.at_utc[-1], zone) - first).days + 1
    midnights = midnights_utc(first, days, zone=zone)
    day = np.searchsorted(midnights, taken.at_utc, side="right") - 1
    starts = np.flatnonzero(np.r_[True, np.diff(day) > 0])
    ends = np.r_[starts[1:], taken.count] - 1
    early = taken.at_utc - midnights[day] < HOURS
    late = midnights[day + 1] - taken.at_utc <= HOURS
    which = np.cumsum(np.r_[False, np.diff(day) > 0])
    begun = _middles(taken, which, where=early, days=starts.size)
    ended = _middles(taken, which, where=late, days=starts.size)
    return DaySums(
        dates=days_from(first, days)[day[starts]],
        count=ends - starts + 1,
        first_at_utc=taken.at_utc[starts],
        first=taken.value[starts],
        last_at_utc=taken.at_utc[ends],
        last=taken.value[ends],
        early_count=begun.count,
        early_at_utc=begun.at_utc,
        early=begun.value,
        late_count=ended.count,
        late_at_utc=ended.at_utc,
        late=ended.value,
        total=np.add.reduceat(taken.value, starts),
        falls=np.add.reduceat(_falls(taken.value, which), starts),
        least=np.minimum.reduceat(taken.value, starts),
        most=np.maximum.reduceat(taken.value, starts),
        roughness=_roughness(taken.value, which, days=starts.size),
    )


def _falls(value: FloatArray, which: Rows) -> Rows:
    falls: Rows = np.zeros(value.size, dtype=np.int64)
    falls[1:] = (np.diff(value) < 0) & (np.diff(which) == 0)
    return falls


def _middles(taken: Taken, which: Rows, *, where: NDArray[np.bool_], days: int) -> _Middles:
    """Count, mean time and median of the readings chosen, by day."""
    group = which[where]
    count = np.bincount(group, minlength=days)
    value = _medians(taken.value[where], group, days=days)
    at = np.full(days, np.datetime64("NaT", "ms"))
    known = count > 0
    since = taken.at_utc[where].astype(np.int64)
    zero = int(taken.at_utc[0].astype(np.int64))
    mean = np.bincount(group, weights=(since - zero).astype(float), minlength=days)
    ms = zero + np.round(mean[known] / count[known]).astype(np.int64)
    at[known] = ms.astype("datetime64[ms]")
    return _Middles(count, at, value)


def _medians(values: FloatArray, group: Rows, *, days: int) -> FloatArray:
    """Median of the values of each day; nan for none."""
    found = np.full(days, np.nan)
    if not values.size:
        return found
    order = np.lexsort((values, group))
    ordered, days_of = values[order], group[order]
    starts = np.flatnonzero(np.r_[True, np.diff(days_of) > 0])
    sizes = np.diff(np.r_[starts, values.size])
    low, high = ordered[starts + (sizes - 1) // 2], ordered[starts + sizes // 2]
    found[days_of[starts]] = (low + high) / 2.0
    return found


def _roughness(value: FloatArray, which: Rows, *, days: int) -> FloatArray:
    if value.size < 3:
        return np.full(days, np.nan)
    inside = which[2:] == which[:-2]
    bends = np.abs(value[2:] - 2.0 * value[1:-1] + value[:-2])
    return _medians(bends[inside], which[2:][inside], days=days)


def _none() -> DaySums:
    days, times, floats, counts = (
        np.array([], dtype=kind) for kind in ("datetime64[D]", "datetime64[ms]", float, np.int64)
    )
    return DaySums(
        dates=days,
        count=counts,
        first_at_utc=times,
        first=floats,
        last_at_utc=times,
        last=floats,
        early_count=counts,
        early_at_utc=times,
        early=floats,
        late_count=counts,
        late_at_utc=times,
        late=floats,
        total=floats,
        falls=counts,
        least=floats,
        most=floats,
        roughness=floats,
    )
