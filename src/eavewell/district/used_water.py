"""What the meters of a standing site counted in a year, beside what its design expects."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from eavewell.logbook.daily_log import DailyLog
from eavewell.logbook.kept import Kept
from eavewell.logbook.readings.daily import daily_log
from eavewell.logbook.reconciled.account import Expected, counting, months_of
from eavewell.site.rain_record import DayArray, FloatArray
from eavewell.site.site import Site
from eavewell.storage.series import uses_in_order
from eavewell.tables import table

YEAR = timedelta(days=365)
_YEAR_DAYS = 365.25


@dataclass(frozen=True, slots=True, eq=False)
class UsedWater:
    """The water of the year before a day, as far as meters tell of it.

    days        : on which every meter counted. metered_l : what they counted.
    expected_l  : what the design expects of the same uses on the same days.
    rain_l      : metered, less what was bought; rain_l_year : the same carried to a whole year as
                  the wants go.
    every_use   : whether no use is without a meter.
    dates, rain_day_l : metered less bought of each day, shape (day,); nan where not counted.
    read_daily  : True on a day that was counted by itself, shape (day,).
    """

    days: int
    metered_l: float
    expected_l: float
    rain_l: float
    rain_l_year: float
    every_use: bool
    dates: DayArray
    rain_day_l: FloatArray
    read_daily: NDArray[np.bool_]

    @property
    def share(self) -> float | None:
        """Metered over expected; None where nothing was expected."""
        return self.metered_l / self.expected_l if self.expected_l > 0.0 else None


@dataclass(frozen=True, slots=True)
class Peaks:
    """Most rain used in a month, 1 to 12, and in a day; 0 where no month or day tells."""

    month: int
    month_l: float
    day_l: float


def peaks_of(used: Sequence[UsedWater]) -> Peaks:
    """The peaks of some sites together: of one and the same month, of one and the same day."""
    by_month, by_day = dict[np.datetime64, float](), dict[np.datetime64, float]()
    least = table("register")["fewest days of a meter"].value
    for one in used:
        months = one.dates.astype("datetime64[M]")
        known = np.isfinite(one.rain_day_l)
        for month in np.unique(months[known]):
            mine = known & (months == month)
            if mine.sum() >= least:
                total_l = float(one.rain_day_l[mine].sum())
                by_month[month] = by_month.get(month, 0.0) + total_l
        for at in np.flatnonzero(known & one.read_daily):
            by_day[one.dates[at]] = by_day.get(one.dates[at], 0.0) + float(one.rain_day_l[at])
    best = max(by_month, key=lambda month: by_month[month], default=None)
    return Peaks(
        month=0 if best is None else int(best.astype(int) % 12 + 1),
        month_l=0.0 if best is None else max(by_month[best], 0.0),
        day_l=max((*by_day.values(), 0.0)),
    )


def used_water(site: Site, kept: Kept, *, expected: Expected, now: datetime) -> UsedWater | None:
    """The year before an instant; None where meters counted too few days to tell."""
    log = daily_log(site, kept, since=now - YEAR, until=now)
    drawing = [use.name for use in uses_in_order(site)]
    meters = counting(site, log.meters, among=drawing)
    if not meters:
        return None
    counted_l = log.metered_l[:, [log.meters.index(name) for name in meters]].sum(axis=1)
    if np.isfinite(counted_l).sum() < table("register")["fewest days of a meter"].value:
        return None
    behind = frozenset[str]().union(*meters.values())
    columns = [at for at, name in enumerate(drawing) if name in behind]
    wants_l = expected.use_l_day[:, columns].sum(axis=1)
    return _used(log, counted_l, wants_l=wants_l, every_use=len(columns) == len(drawing))


def _used(
    log: DailyLog, counted_l: FloatArray, *, wants_l: FloatArray, every_use: bool
) -> UsedWater:
    """wants_l : of a day of each month. What was bought may stand on another day than its use."""
    known = np.isfinite(counted_l)
    bought_l = np.nan_to_num(log.make_up_l) + np.nan_to_num(log.hauled_l).sum(axis=1)
    metered_l = float(counted_l[known].sum())
    expected_l = float(wants_l[months_of(log.dates) - 1][known].sum())
    rain_l = max(metered_l - float(bought_l[known].sum()), 0.0)
    year_l = float(wants_l.mean()) * _YEAR_DAYS
    return UsedWater(
        days=int(known.sum()),
        metered_l=metered_l,
        expected_l=expected_l,
        rain_l=rain_l,
        rain_l_year=rain_l * year_l / expected_l if expected_l > 0.0 else 0.0,
        every_use=every_use,
        dates=log.dates,
        rain_day_l=counted_l - bought_l,
        read_daily=np.asarray((np.nan_to_num(log.spread_days, nan=1.0) <= 1.0).all(axis=1)),
    )
