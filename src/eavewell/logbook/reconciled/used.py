"""What each use drew by its meter, against what its file expects."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from eavewell.demand.household import people_l
from eavewell.logbook.daily_log import DailyLog
from eavewell.logbook.reconciled.account import (
    WEEK,
    Account,
    Expected,
    counting,
    may_lack,
    months_of,
)
from eavewell.logbook.reconciled.estimate import Estimate
from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.site.use import Use
from eavewell.site.want import Cooler, People, Plants
from eavewell.storage.series import uses_in_order
from eavewell.tables import table
from eavewell.weather.days import Days


@dataclass(frozen=True, slots=True)
class UseFound:
    """What a meter counted of its uses, on days on which none was rationed or short.

    measured, expected_l_day : means of the same days. each_l_day : per person and day, where the
    meter counts one use, and that of people by measured use; None else. was_each_l_day : as the
    file says.
    """

    meter: str
    uses: tuple[str, ...]
    measured: Estimate
    expected_l_day: float
    each: Estimate | None = None
    was_each_l_day: float | None = None

    @property
    def share(self) -> float:
        """Measured over expected; nan where nothing was expected."""
        return self.measured.value / self.expected_l_day if self.expected_l_day else float("nan")


def uses_found(
    site: Site, log: DailyLog, *, account: Account, expected: Expected
) -> tuple[tuple[UseFound, ...], tuple[str, ...]]:
    """Each meter's uses, and a sentence for each meter that has counted too few days."""
    found, waits = [], []
    least = int(table("reconcile")["days before use is offered"].value)
    drawing = (*account.counted, *account.assumed)
    for meter, uses in counting(site, log.meters, among=drawing).items():
        names = tuple(use.name for use in uses_in_order(site) if use.name in uses)
        counted, known = _known(site, log, meter=meter, uses=names)
        if counted >= least and known.sum() < counted * (1.0 - _most_cut(site, names)):
            waits.append(
                f"Meter {meter!r}: on {counted - int(known.sum())} of {counted} days its use was "
                f"rationed or may have been short, so that what it would have drawn is not known."
            )
        elif int(known.sum()) < least:
            waits.append(
                f"Meter {meter!r} has counted {int(known.sum())} days on which nothing was cut; "
                f"after {least} its figure takes the place of the guess."
            )
        elif known.any():
            found.append(_found(site, log, known=known, meter=meter, uses=names, expected=expected))
    return tuple(found), tuple(waits)


def _most_cut(site: Site, uses: tuple[str, ...]) -> float:
    """Share of the days on which these uses may have been cut before the rest tell too little.

    Plants and coolers draw much on some days, which are the days that are cut.
    """
    wants = (want for name in uses for want in site.use(name).wants)
    even = not any(isinstance(want, Plants | Cooler) for want in wants)
    return table("reconcile")["most days cut" if even else "most days cut, uneven use"].value


def _known(
    site: Site, log: DailyLog, *, meter: str, uses: tuple[str, ...]
) -> tuple[int, NDArray[np.bool_]]:
    """Days that the meter counted; and those of them on which nothing was cut.

    Of a figure over many days none is known where one of them was cut.
    """
    at = log.meters.index(meter)
    counted = np.isfinite(log.metered_l[:, at])
    cut = may_lack(site, log, assumed=uses)
    for row in np.flatnonzero(cut):
        near = math.ceil(log.spread_days[row, at])
        cut[max(row - near + 1, 0) : row + near] |= near > WEEK
    return int(counted.sum()), counted & ~cut


def _found(
    site: Site,
    log: DailyLog,
    *,
    known: NDArray[np.bool_],
    meter: str,
    uses: tuple[str, ...],
    expected: Expected,
) -> UseFound:
    names = [use.name for use in uses_in_order(site)]
    columns = [names.index(name) for name in uses]
    wants = expected.use_l_day[months_of(log.dates) - 1][:, columns].sum(axis=1)[known]
    at = log.meters.index(meter)
    measured = _mean(log.metered_l[known, at], read_days=float(np.median(log.spread_days[:, at])))
    wanted = float(wants.mean())
    each = _each(site.use(uses[0]), log, known=known, measured=measured, wanted=wanted)
    one = next(iter(each), None) if len(uses) == 1 else None
    was = site.use(uses[0]).wants[0].each_l_day if one else None  # type: ignore[union-attr]
    return UseFound(meter, uses, measured, wanted, one, was)


def _mean(daily_l: FloatArray, *, read_days: float) -> Estimate:
    """The mean with its range; whole weeks are taken together, as one day is like the next.

    read_days : of which one figure of the meter is the sum; where it is more, so many.
    """
    together = max(WEEK, round(read_days))
    weeks = daily_l.size // together
    by_week = daily_l[: weeks * together].reshape(weeks, together).mean(axis=1)
    error = float(by_week.std(ddof=1)) / math.sqrt(weeks) if weeks > 1 else float("nan")
    mean, half = float(daily_l.mean()), table("reconcile")["range"].value * error
    return Estimate("use by meter", mean, max(mean - half, 0.0), mean + half, int(daily_l.size))


def _each(
    use: Use, log: DailyLog, *, known: NDArray[np.bool_], measured: Estimate, wanted: float
) -> Iterator[Estimate]:
    """What one person draws in a day, where the rest of the use is as the file says."""
    first = use.wants[0] if use.wants else None
    if not isinstance(first, People) or not first.count or not first.each_l_day:
        return
    none = np.zeros(log.days)
    theirs = people_l(first, Days(log.dates, none, none))[known] / (1.0 - use.leak_share)
    share = float(theirs.mean())
    others = max(wanted - share, 0.0)
    if share > 0.0 and measured.low > others:
        scale = first.each_l_day / share
        low, value, high = (
            (one - others) * scale for one in (measured.low, measured.value, measured.high)
        )
        yield Estimate("use per person", value, low, high, measured.days)
