"""The leak test: whether the level falls on dry days by more than was drawn.

With meters on all uses what is left is a leak, or a gauge that drifts; without, a leak and a use
are not to be told apart. A fall counts where it is larger than so many standard errors beyond what
the meters may read wrong; the limit is the least leak that is found 95 times of 100.
"""

from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from eavewell.logbook.leaks.trend import DryLevels, Fall, fall_at_each_day
from eavewell.logbook.reconciled.account import Account
from eavewell.logbook.reconciled.fit import (
    CATCH,
    FLUSH,
    MEDIAN_OF_ONE,
    UNKNOWN,
    changes_of,
    fit,
    inflow_l,
)
from eavewell.site.rain_record import FloatArray
from eavewell.tables import table

STRETCHES = ("shortest", "week", "fortnight", "month")
METERED_SHARE = 0.01
RECENT_DAYS = 10


@dataclass(frozen=True, slots=True)
class LeakTest:
    """The fall over the last so many dry days, or over all days of a season.

    fall_l_day : beyond what is accounted for, low to high its range; below 0 the tanks gained.
    limit_l_day: the least leak that this stretch would have shown 95 times of 100.
    limit_at_twice_l_day : the same were the readings twice as noisy.
    metered    : True where meters count all uses; else the fall is a leak or a use.
    leaks      : True where the fall is beyond chance and the meters' error.
    gains      : True where a rise is.
    since, until : the stretch. dry_days : those in it that were judged.
    used_l_day : drawn, by meters or as expected.
    """

    tanks: tuple[str, ...]
    stretch: str
    fall_l_day: float
    low_l_day: float
    high_l_day: float
    limit_l_day: float
    limit_at_twice_l_day: float
    metered: bool
    leaks: bool
    gains: bool
    since: date
    until: date
    dry_days: int
    used_l_day: float


@dataclass(frozen=True, slots=True, eq=False)
class Watched:
    """The test at the end of every day: shape (stretch, level).

    margin_l_day : what meters or a guess of the use may be wrong by.
    leaks, gains : beyond chance and that margin.
    """

    levels: DryLevels
    falls: tuple[Fall, ...]
    margin_l_day: FloatArray
    leaks: NDArray[np.bool_]
    gains: NDArray[np.bool_]
    metered: bool

    @property
    def alarms(self) -> int:
        """How often a leak was called that was not called the day before."""
        any_leak = np.asarray(self.leaks.any(axis=0))
        return int((any_leak & ~np.r_[False, any_leak[:-1]]).sum())


def is_metered(account: Account) -> bool:
    """Whether meters count all that is drawn but for a trifle, and are read often enough."""
    if account.seldom:
        return False
    assumed = float(account.assumed_l.mean())
    counted = float(np.nan_to_num(account.metered_l).mean()) if account.counted else 0.0
    return assumed <= METERED_SHARE * max(assumed + counted, 1e-9)


def dry_levels(account: Account) -> DryLevels:
    """The levels with what was accounted for put back.

    Midnights between daily readings share readings with their neighbours, so that their errors do
    not cancel as their own size would say.
    """
    shared = table("leaks")["shared readings"].value if account.read_daily else 1.0
    rain_fell = inflow_l(account, flush=0.0) > 0.0
    metered = account.metered_l if account.counted else np.zeros(account.days)
    used = metered + account.assumed_l
    out = used + account.open_l
    dry = ~rain_fell & np.isfinite(account.rain_mm) & np.isfinite(out) & (account.came_l == 0.0)
    dry &= ~account.may_lack
    back = np.r_[0.0, np.cumsum(np.where(dry, np.nan_to_num(out), 0.0))[:-1]]
    return DryLevels(
        dates=account.dates,
        level_l=account.held_l + back,
        sd_l=np.where(account.plain, shared * account.held_sd_l, np.inf),
        dry=dry,
        used_l=np.nan_to_num(used),
    )


def watch(account: Account) -> Watched:
    """The test at the end of every day of the log, over each stretch."""
    figures, levels = table("leaks"), dry_levels(account)
    if is_metered(account):
        levels = replace(levels, sd_l=levels.sd_l * _noisier(levels))
    falls = tuple(fall_at_each_day(levels, int(figures[name].value)) for name in STRETCHES)
    metered = is_metered(account)
    used = np.stack([fall.used_l_day for fall in falls])
    margin = _wrong_share(metered=metered) * used
    fall = np.stack([one.fall_l_day for one in falls])
    chance = figures["alarm"].value * np.stack([_error(one, metered=metered) for one in falls])
    recent = np.stack([_is_recent(levels, one) for one in falls])
    # a guess of the use may be all wrong: where nobody drew anything, no water came
    less = margin if metered else used
    leaks, gains = recent & (fall - margin > chance), recent & (-fall - less > chance)
    return Watched(levels, falls, margin, leaks, gains, metered)


def _noisier(levels: DryLevels) -> float:
    """How much more the levels scatter on dry days than the log says; 1 where about as it says.

    By second differences of three midnights in a row, which neither a leak nor a run's level
    touches; their median size, so that a single bad reading tells nothing.
    """
    figures = table("leaks")
    second = np.diff(levels.level_l, n=2)
    sd = np.sqrt(levels.sd_l[:-2] ** 2 + 4.0 * levels.sd_l[1:-1] ** 2 + levels.sd_l[2:] ** 2)
    known = levels.dry[:-2] & levels.dry[1:-1] & np.isfinite(second) & np.isfinite(sd)
    if known.sum() < figures["scatter from"].value:
        return 1.0
    found = float(np.median(np.abs(second[known]) / sd[known])) / MEDIAN_OF_ONE
    return found if found > figures["noisier than said"].value else 1.0


def _wrong_share(*, metered: bool) -> float:
    """Share of the use that meters, or a guess, may be wrong by throughout."""
    return (
        table("reconcile")["meter error"].value if metered else table("leaks")["guess error"].value
    )


def _error(fall: Fall, *, metered: bool) -> FloatArray:
    """Standard error of the fall; a use without a meter varies from day to day on top."""
    if metered:
        return fall.error_l_day
    varies = table("reconcile")["use varies"].value * fall.used_l_day
    return np.asarray(np.sqrt(fall.error_l_day**2 + varies**2 / np.maximum(fall.days, 1)))


def _is_recent(levels: DryLevels, fall: Fall) -> NDArray[np.bool_]:
    """Where the stretch holds its dry days, and the last of them is not long ago."""
    rows = np.arange(levels.dry.size)
    dry = np.r_[False, levels.dry[:-1]]
    last = np.maximum.accumulate(np.where(dry, rows, -RECENT_DAYS - 1))
    return np.asarray((rows - last <= RECENT_DAYS) & (fall.days >= fall.dry_days - 1))


def at_midnight(account: Account, watched: Watched, *, row: int) -> tuple[LeakTest, ...]:
    """The test of every stretch as it stands at one midnight, shortest first."""
    made = []
    for k, (name, fall) in enumerate(zip(STRETCHES, watched.falls, strict=True)):
        if np.isfinite(fall.fall_l_day[row]) and fall.days[row] >= fall.dry_days - 1:
            made.append(_test(account, watched, k=k, name=name, row=row))
    return tuple(made)


def season_test(account: Account) -> LeakTest | None:
    """The same over wet and dry days of a season, what the roof brought being fitted as well.

    Where rain comes every few days no dry stretch is long, and this one finds the smaller leak.
    None without meters on all uses, or where too few rains came to know what the roof sheds.
    """
    figures = table("leaks")
    part = account.last(int(figures["season"].value))
    changes = changes_of(part)
    came = np.r_[0.0, np.cumsum(inflow_l(part))]
    rainy = int((came[changes.last] > came[changes.first]).sum())
    if not is_metered(account) or rainy < table("reconcile")["least rainy days"].value:
        return None
    fitted = fit(part, changes, asked=(CATCH, FLUSH, UNKNOWN))
    value, error = float(fitted.value[-1]), float(fitted.error[-1])
    used = float(np.nanmean(part.metered_l)) if part.counted else 0.0
    margin = _wrong_share(metered=True) * used
    beyond, chance = _limits(error)
    half = table("reconcile")["range"].value * error + margin
    return LeakTest(
        tanks=part.tanks,
        stretch="season",
        fall_l_day=value,
        low_l_day=value - half,
        high_l_day=value + half,
        limit_l_day=beyond + margin,
        limit_at_twice_l_day=2.0 * beyond + margin,
        metered=True,
        leaks=value - margin > chance,
        gains=-value - margin > chance,
        since=part.dates[0].astype(object),
        until=part.dates[-1].astype(object),
        dry_days=int(changes.days.sum()),
        used_l_day=used,
    )


def _limits(error_l_day: float) -> tuple[float, float]:
    """How far a leak must lie beyond nothing to be found, and a fall to be no chance."""
    figures = table("leaks")
    alarm = figures["alarm"].value
    return (alarm + figures["found"].value) * error_l_day, alarm * error_l_day


def _test(account: Account, watched: Watched, *, k: int, name: str, row: int) -> LeakTest:
    fall = watched.falls[k]
    error = float(_error(fall, metered=watched.metered)[row])
    value, margin = float(fall.fall_l_day[row]), float(watched.margin_l_day[k, row])
    half = table("reconcile")["range"].value * error + margin
    beyond, _ = _limits(error)
    return LeakTest(
        tanks=account.tanks,
        stretch=name,
        fall_l_day=value,
        low_l_day=value - half,
        high_l_day=value + half,
        limit_l_day=beyond + margin,
        limit_at_twice_l_day=2.0 * beyond + margin,
        metered=watched.metered,
        leaks=bool(watched.leaks[k, row]),
        gains=bool(watched.gains[k, row]),
        since=account.dates[fall.since[row]].astype(object),
        until=account.dates[row].astype(object),
        dry_days=int(fall.days[row]),
        used_l_day=float(fall.used_l_day[row]),
    )
