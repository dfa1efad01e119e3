"""How fast the level falls on dry days beyond what is accounted for, at the end of every day.

Dry days in a row make a run; a run has a level of its own and all runs of a stretch share one
fall. Weighted least squares by running sums, so that ten years of days take no longer than one.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from eavewell.site.rain_record import DayArray, FloatArray
from eavewell.tables import table

WHOLE = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class DryLevels:
    """Levels at midnights, less what was accounted for since; all of shape (level,).

    level_l : level plus what was drawn and less what came on the dry days before it, L.
    sd_l    : its standard error; infinite where the level was not read.
    dry     : True where the day that begins at the level was dry, and all its flows known.
    used_l  : what was accounted for as drawn on that day.
    """

    dates: DayArray
    level_l: FloatArray
    sd_l: FloatArray
    dry: NDArray[np.bool_]
    used_l: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Fall:
    """The fall by each level over the last so many dry days; of shape (level,), nan where unknown.

    fall_l_day : beyond what is accounted for; below 0 it rose. error_l_day : its standard error.
    used_l_day : mean accounted for as drawn. since : row of the stretch's first level.
    days : dry days in the stretch.
    """

    dry_days: int
    fall_l_day: FloatArray
    error_l_day: FloatArray
    used_l_day: FloatArray
    since: WHOLE
    days: WHOLE


@dataclass(frozen=True, slots=True, eq=False)
class _Sums:
    """Running sums before each level: weights and their moments of time and level."""

    sums: FloatArray  # [w, wt, wy, wtt, wty, wyy, n] by level

    def piece(self, first: WHOLE, last: WHOLE) -> FloatArray:
        """Centred moments of the levels from first to last, (4, piece): tt, ty, yy, levels - 1."""
        w, t, y, tt, ty, yy, n = self.sums[:, last + 1] - self.sums[:, first]
        whole = np.where(w > 0.0, w, 1.0)
        free = np.maximum(n - 1.0, 0.0)
        return np.stack([tt - t * t / whole, ty - t * y / whole, yy - y * y / whole, free])


def fall_at_each_day(levels: DryLevels, dry_days: int) -> Fall:
    """The fall over the last `dry_days` dry days before each midnight, none older than allowed."""
    starts, ends = _runs(levels.dry)
    count = levels.level_l.size
    rows = np.arange(count)
    before = np.r_[0, np.cumsum(levels.dry)[:-1]]
    since = np.searchsorted(before, before - dry_days, side="left")
    since = np.maximum(since, rows - int(table("leaks")["oldest"].value))
    last = np.searchsorted(starts, rows, side="left") - 1
    first = np.searchsorted(ends, since, side="right")
    known = (last >= first) & (last >= 0)
    moments = np.zeros((4, count))
    if known.any():
        moments[:, known] = _moments(
            _running(levels, starts),
            (starts, ends),
            first=first[known],
            last=last[known],
            since=since[known],
            until=rows[known],
        )
    days = before - before[since]
    drawn = np.r_[0.0, np.cumsum(np.where(levels.dry, levels.used_l, 0.0))[:-1]]
    used = (drawn - drawn[since]) / np.maximum(days, 1)
    return _fall(dry_days, moments, used=used, since=since, days=days)


def _fall(
    dry_days: int, moments: FloatArray, *, used: FloatArray, since: WHOLE, days: WHOLE
) -> Fall:
    tt, ty, yy, free = moments
    known = (tt > 0.0) & (free >= 2.0)
    over = np.where(known, tt, 1.0)
    left = np.maximum(yy - ty * ty / over, 0.0) / np.maximum(free - 1.0, 1.0)
    believed = free - 1.0 >= table("leaks")["scatter from"].value
    excess = np.sqrt(np.where(believed, np.maximum(left, 1.0), 1.0))
    return Fall(
        dry_days=dry_days,
        fall_l_day=np.where(known, -ty / over, np.nan),
        error_l_day=np.where(known, excess / np.sqrt(over), np.nan),
        used_l_day=used,
        since=since,
        days=days,
    )


def _runs(dry: NDArray[np.bool_]) -> tuple[WHOLE, WHOLE]:
    """First and last level of every run of dry days; the last day's evening has no level."""
    flags = np.r_[False, dry[:-1], False].astype(np.int8)
    edge = np.diff(flags)
    return np.flatnonzero(edge == 1), np.flatnonzero(edge == -1)


def _running(levels: DryLevels, starts: WHOLE) -> _Sums:
    time = np.arange(levels.level_l.size, dtype=float)
    run = np.maximum(np.searchsorted(starts, np.arange(time.size), side="right") - 1, 0)
    base = np.nan_to_num(levels.level_l)[starts[run]] if starts.size else 0.0
    read = np.isfinite(levels.level_l) & np.isfinite(levels.sd_l)
    weight = np.where(read, 1.0 / np.where(read, levels.sd_l, 1.0) ** 2, 0.0)
    level = np.where(read, levels.level_l - base, 0.0)
    t = time - (time[starts[run]] if starts.size else 0.0)
    wt, wy = weight * t, weight * level
    rows = np.stack([weight, wt, wy, wt * t, wt * level, wy * level, read.astype(float)])
    return _Sums(np.hstack([np.zeros((7, 1)), np.cumsum(rows, axis=1)]))


def _moments(
    sums: _Sums,
    runs: tuple[WHOLE, WHOLE],
    *,
    first: WHOLE,
    last: WHOLE,
    since: WHOLE,
    until: WHOLE,
) -> FloatArray:
    """Moments over the runs from first to last, cut where the stretch begins and ends."""
    starts, ends = runs
    one = first == last
    head = sums.piece(
        np.maximum(since, starts[first]), np.where(one, np.minimum(until, ends[first]), ends[first])
    )
    whole = np.hstack([np.zeros((4, 1)), np.cumsum(sums.piece(starts, ends), axis=1)])
    tail = sums.piece(starts[last], np.minimum(until, ends[last]))
    between = whole[:, last] - whole[:, np.minimum(first + 1, last)]
    return np.asarray(head + np.where(one, 0.0, tail + between))
