"""The water at midnight between two readings, and how far off that may be."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from eavewell.logbook.kept import Times
from eavewell.logbook.readings.use_clock import used_days
from eavewell.site.rain_record import FloatArray
from eavewell.tables import table

_MS_OF_DAY = 86_400_000.0
# a fall over less of a household's day tells little of its use in a day
_SHORT_DAYS = 0.2
# movement within so many times its noise is none
_SURE = 2.0


@dataclass(frozen=True, slots=True, eq=False)
class Held:
    """Water above the dead storage and its standard error, of the same shape.

    own_sd_l : error of each alone; common_sd_l : error that all share, as in a blind zone.
    """

    held_l: FloatArray
    own_sd_l: FloatArray
    common_sd_l: FloatArray

    @property
    def sd_l(self) -> FloatArray:
        """Both errors together."""
        return np.hypot(self.own_sd_l, self.common_sd_l)


@dataclass(frozen=True, slots=True, eq=False)
class _Between:
    """Each midnight between two readings, shape (midnight,).

    a, b : rows of the readings before and after. known : True where both are there and near.
    even, used : share of the time, and of a household's use, that has gone by from a to b.
    days : of the household's use from a to b. use_l_day : what it usually uses in a day.
    dry : True where it did not rain on any day from a to b.
    """

    a: NDArray[np.int64]
    b: NDArray[np.int64]
    known: NDArray[np.bool_]
    even: FloatArray
    used: FloatArray
    days: FloatArray
    dry: NDArray[np.bool_]
    use_l_day: float


def between(midnights: Times, at_utc: Times, *, known: Held, dry: NDArray[np.bool_]) -> Held:
    """Levels at midnight between those not further apart than a few days, with their error.

    midnights : shape (day + 1,); of the last nothing is said. What was read moved by use and by
    rain. Use is that of other days, or all of a larger fall; it lies half way between even use and
    use by the household's day, with half of what these differ as an error, and daily use varies.
    Rain is the rest, and may have come at any moment. dry : days on which it did not rain for
    certain, shape (day,).
    """
    if not at_utc.size or midnights.size < 2:
        return Held(*(np.full(max(midnights.size - 1, 0), np.nan) for _ in range(3)))
    gap = _between(midnights, at_utc, known=known, dry=dry)
    a, b = gap.a, gap.b
    moved_l = known.held_l[b] - known.held_l[a]
    noise = known.own_sd_l[a] ** 2 + known.own_sd_l[b] ** 2
    usual_l = gap.use_l_day * gap.days
    rained = ~gap.dry & (moved_l + usual_l > _SURE * np.sqrt(noise))
    use_l = np.where(rained, usual_l, np.maximum(-moved_l, 0.0))
    rain_l = np.where(rained, moved_l + usual_l, 0.0)
    half = (gap.even + gap.used) / 2.0
    share = np.where(rained, gap.even, half)
    shift_l = np.where(rained, (gap.even - half) * usual_l, 0.0)
    own = (1.0 - share) ** 2 * known.own_sd_l[a] ** 2 + share**2 * known.own_sd_l[b] ** 2
    uneven = table("log_figures")["use_spread"].value ** 2 / np.maximum(gap.days, 1.0)
    square = np.where(rained, use_l**2, np.maximum(use_l**2 - noise, 0.0))
    own += square * (uneven * half * (1.0 - half) + ((gap.used - gap.even) / 2.0) ** 2)
    # a step at any moment of a time is off by the root of its share x the rest
    own += rain_l**2 * gap.even * (1.0 - gap.even)
    common_l = (1.0 - share) * known.common_sd_l[a] + share * known.common_sd_l[b]
    nothing = np.where(gap.known, 0.0, np.nan)
    held_l = known.held_l[a] + share * moved_l + shift_l
    return Held(held_l + nothing, np.sqrt(own) + nothing, common_l + nothing)


def _between(midnights: Times, at_utc: Times, *, known: Held, dry: NDArray[np.bool_]) -> _Between:
    instants = midnights[:-1]
    after = np.searchsorted(at_utc, instants, side="left")
    inside = (after < at_utc.size) & ((after > 0) | (instants == at_utc[0]))
    b = np.clip(after, 0, at_utc.size - 1)
    a = np.maximum(b - 1, 0)
    clock = used_days(at_utc, midnights)
    even = _shares(instants.astype(np.float64), at_utc.astype(np.float64), a=a, b=b)
    used = _shares(used_days(instants, midnights), clock, a=a, b=b)
    apart = (at_utc[b] - at_utc[a]).astype(np.int64) / _MS_OF_DAY
    near = (apart <= table("log_figures")["longest_gap"].value) | (even == 1.0)
    usual = usual_fall(clock, known.held_l, sd=known.own_sd_l)
    dry_days = np.r_[0, np.cumsum(dry)]
    first, last = (_day(at_utc[rows], midnights) for rows in (a, b))
    all_dry = dry_days[last + 1] - dry_days[first] == last + 1 - first
    days = clock[b] - clock[a]
    return _Between(a, b, inside & near, even, used, days, all_dry, usual)


def _day(at_utc: Times, midnights: Times) -> NDArray[np.int64]:
    """The day of each instant, the first or last for those outside."""
    day = np.searchsorted(midnights, at_utc, side="right") - 1
    return np.clip(day, 0, midnights.size - 2)


def _shares(
    x: FloatArray, knots: FloatArray, *, a: NDArray[np.int64], b: NDArray[np.int64]
) -> FloatArray:
    """How far each x lies from knot a to knot b; 1 where they are one."""
    length = knots[b] - knots[a]
    share = np.clip((x - knots[a]) / np.where(length > 0.0, length, 1.0), 0.0, 1.0)
    return np.where(length > 0.0, share, 1.0)


def usual_fall(days: FloatArray, level: FloatArray, *, sd: FloatArray) -> float:
    """The median fall in a day, of falls that are more than noise; 0 where none is.

    days : when each level was read. level : in any unit. sd : its standard error in that unit.
    """
    apart, falls = np.diff(days), -np.diff(level)
    rows = (falls > _SURE * np.hypot(sd[1:], sd[:-1])) & (apart > _SHORT_DAYS)
    return float(np.median(falls[rows] / apart[rows])) if rows.any() else 0.0
