"""The water of one year month by month: what came, what was used, by meter and by level."""

from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from eavewell.logbook.daily_log import DailyLog
from eavewell.logbook.reconciled.account import Expected, counting, months_of
from eavewell.logbook.today import dry_days, use_by_level_l_day
from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.storage.series import uses_in_order

Rows = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class MonthOfWater:
    """One month, as far as the log covers it; None where the log does not tell.

    days      : that the log covers. rain_mm : by the site's own gauge, on rain_days of them.
    hauled_l, make_up_l : what came besides rain.
    metered_l : by meters that count no use twice, on metered_days of them.
    level_l   : use by the fall of the level, from level_days dry days to all days; leaks with it.
    planned_l : of uses that no meter counts, by the plan.
    held_l    : in all tanks above the dead storage as the month ends, or the log.
    caught_l  : by the balance of levels, loads and use; what ran over is not in it.
    """

    month: int
    days: int
    rain_mm: float | None = None
    rain_days: int = 0
    hauled_l: float = 0.0
    make_up_l: float | None = None
    metered_l: float | None = None
    metered_days: int = 0
    level_l: float | None = None
    level_days: int = 0
    planned_l: float = 0.0
    held_l: float | None = None
    caught_l: float | None = None

    @property
    def used_l(self) -> float | None:
        """By meter, and by the plan where no meter counts; None where a meter stood still."""
        return None if self.metered_l is None else self.metered_l + self.planned_l


@dataclass(frozen=True, slots=True, eq=False)
class YearOfWater:
    """A year of a log.

    first, last : days that the log covers in it; None for none. metered, unmetered : uses.
    dates, held_l, rain_mm : of its days, shape (day,), all tanks together; nan unknown.
    """

    year: int
    first: date | None
    last: date | None
    months: tuple[MonthOfWater, ...]
    metered: tuple[str, ...]
    unmetered: tuple[str, ...]
    dates: NDArray[np.datetime64]
    held_l: FloatArray
    rain_mm: FloatArray

    @property
    def days(self) -> int:
        """Days that the log covers."""
        return sum(one.days for one in self.months)

    def total(self, name: str) -> float | None:
        """Sum of a figure over the months that know it; None where none does."""
        known = [value for one in self.months if (value := getattr(one, name)) is not None]
        return float(sum(known)) if known else None


def year_of_water(site: Site, log: DailyLog, *, expected: Expected, year: int) -> YearOfWater:
    """One calendar year of a daily log.

    expected : what the plan wants of each use by month.
    """
    every_load_l, log = np.nan_to_num(log.hauled_l).sum(axis=1), _gauged(log)
    drawing = [use.name for use in uses_in_order(site)]
    meters = counting(site, log.meters, among=drawing)
    behind = frozenset[str]().union(*meters.values())
    unmetered = tuple(name for name in drawing if name not in behind)
    columns = [log.meters.index(name) for name in meters]
    within = log.dates.astype("datetime64[Y]").astype(int) + 1970 == year
    rows = np.flatnonzero(within)
    wants_l = _planned(drawing, expected, unmetered=unmetered)
    return YearOfWater(
        year=year,
        first=log.dates[rows[0]].item() if rows.size else None,
        last=log.dates[rows[-1]].item() if rows.size else None,
        months=tuple(
            _month(
                log,
                rows[months_of(log.dates[rows]) == month],
                month=month,
                columns=columns,
                planned_l_day=wants_l[month - 1],
                hauled_l=every_load_l,
            )
            for month in range(1, 13)
        ),
        metered=tuple(name for name in drawing if name in behind),
        unmetered=unmetered,
        dates=log.dates[rows],
        held_l=log.held_l[rows].sum(axis=1) if log.tanks else np.full(rows.size, np.nan),
        rain_mm=log.rain_mm[rows],
    )


def _gauged(log: DailyLog) -> DailyLog:
    """The log with the tanks alone whose volume some reading tells."""
    at = [k for k in range(len(log.tanks)) if np.isfinite(log.held_l[:, k]).any()]
    return replace(
        log,
        tanks=tuple(log.tanks[k] for k in at),
        held_l=log.held_l[:, at],
        held_sd_l=log.held_sd_l[:, at],
        hauled_l=log.hauled_l[:, at],
    )


def _planned(drawing: list[str], expected: Expected, *, unmetered: tuple[str, ...]) -> FloatArray:
    """Litres a day that uses without a meter want by the plan, shape (month,)."""
    at = [drawing.index(name) for name in unmetered]
    return np.asarray(expected.use_l_day[:, at].sum(axis=1))


def _month(
    log: DailyLog,
    mine: Rows,
    *,
    month: int,
    columns: list[int],
    planned_l_day: float,
    hauled_l: FloatArray,
) -> MonthOfWater:
    if not mine.size:
        return MonthOfWater(month, 0)
    metered = log.metered_l[mine][:, columns].sum(axis=1) if columns else np.zeros(mine.size)
    counted = np.isfinite(metered) & bool(columns)
    dry = dry_days(log, mine)
    level_l_day = use_by_level_l_day(log, dry)
    one = MonthOfWater(
        month=month,
        days=int(mine.size),
        rain_mm=_sum(log.rain_mm[mine]),
        rain_days=int(np.isfinite(log.rain_mm[mine]).sum()),
        hauled_l=float(hauled_l[mine].sum()),
        make_up_l=_sum(log.make_up_l[mine]),
        metered_l=float(metered[counted].sum()) if counted.any() else None,
        metered_days=int(counted.sum()),
        level_l=None if level_l_day is None else level_l_day * mine.size,
        level_days=int(dry.size),
        planned_l=float(planned_l_day * mine.size),
        held_l=_held_after(log, mine),
    )
    return _with_caught(log, mine, one=one)


def _with_caught(log: DailyLog, mine: Rows, *, one: MonthOfWater) -> MonthOfWater:
    """Rise of the tanks, and what was used, less what came otherwise."""
    began, ended = log.held_l[mine[0]].sum(), one.held_l
    whole = one.metered_days == one.days and one.planned_l == 0.0
    used_l = one.metered_l if whole else one.level_l
    if ended is None or used_l is None or one.make_up_l is None or not np.isfinite(began):
        return one
    loads_l = float(np.nan_to_num(log.hauled_l[mine]).sum())
    caught_l = ended - float(began) + used_l - loads_l - one.make_up_l
    return replace(one, caught_l=max(caught_l, 0.0))


def _held_after(log: DailyLog, mine: Rows) -> float | None:
    """What the tanks held as the month ended, or at its last midnight that is known."""
    held_l = log.held_l.sum(axis=1)
    known = [k for k in range(mine[0], min(mine[-1] + 2, log.days)) if np.isfinite(held_l[k])]
    return float(held_l[known[-1]]) if known and log.tanks else None


def _sum(values: FloatArray) -> float | None:
    return float(np.nansum(values)) if np.isfinite(values).any() else None


def last_day_of(year: int) -> date:
    """31 December."""
    return date(year + 1, 1, 1) - timedelta(days=1)
