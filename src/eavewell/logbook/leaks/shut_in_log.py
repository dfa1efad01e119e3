"""The overnight test by the log: the readings at both ends of the time that a tank stood shut."""

import math
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from eavewell.faults import BadLog
from eavewell.logbook.entries.typed import gauge_meant
from eavewell.logbook.kept import Kept, Taken
from eavewell.logbook.leaks.shut_said import ShutSaid, judged
from eavewell.logbook.leaks.shut_test import BadShutTest, shut_test
from eavewell.logbook.readings.gauged import Levels, levels, noise_m
from eavewell.logbook.readings.gauges import gauges_of
from eavewell.site.gauge import Gauge
from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.tables import table

_HOUR = np.timedelta64(3_600_000, "ms")
_JUST_AFTER = timedelta(milliseconds=1)


@dataclass(frozen=True, slots=True)
class Span:
    """The time that a tank stood shut, instants with their offset."""

    began: datetime
    ended: datetime

    @property
    def near_end(self) -> timedelta:
        """How near to an end of it a reading tells the level there."""
        figures = table("leaks")
        most = timedelta(hours=figures["shut end"].value)
        return min(most, figures["shut end share"].value * (self.ended - self.began))


@dataclass(frozen=True, slots=True, eq=False)
class _Ends:
    """What a gauge said at both ends of the time."""

    gauge: Gauge
    first: Taken
    last: Taken

    @property
    def hours(self) -> float:
        """Between the mean times of the readings."""
        means = [(one.at_utc - self.first.at_utc[0]).mean() for one in (self.first, self.last)]
        return float((means[1] - means[0]) / _HOUR)


def shut_in_log(site: Site, name: str, *, kept: Kept, span: Span, alone: bool = False) -> ShutSaid:
    """Judge a tank that stood shut by what the log holds of it, at both ends of that time.

    name : of the tank, or of one of its gauges; of several the one that was read most is taken.
    alone : as in `shut_said`.
    Raises BadLog in sentences, as where nothing was read near one of the ends.
    """
    if not span.ended > span.began:
        raise BadShutTest(f"'{name}': it was opened before it was shut.")
    ends = _ends(site, name, kept=kept, span=span)
    before, after = (_levels(ends.gauge, one, kept=kept) for one in (ends.first, ends.last))
    test = shut_test(
        site.tank(ends.gauge.of),
        before.level_m.tolist(),
        after_m=after.level_m.tolist(),
        hours=ends.hours,
        noise_m=_noise_m(ends, float(max(before.common_sd_m.max(), after.common_sd_m.max()))),
        alone=alone,
    )
    by = f"By {ends.first.count} and {ends.last.count} readings of '{ends.gauge.name}'."
    return ShutSaid(test, (by, *judged(test, site, alone=alone).says))


def _ends(site: Site, name: str, *, kept: Kept, span: Span) -> _Ends:
    near = span.near_end
    named = [
        one for one in gauges_of(site) if one.measures == "level" and name in (one.name, one.of)
    ]
    read = [
        _Ends(
            one,
            kept.readings(one.name, span.began, until=span.began + near + _JUST_AFTER),
            kept.readings(one.name, span.ended - near, until=span.ended + _JUST_AFTER),
        )
        for one in named or [gauge_meant(site, "level", name=name)]
    ]
    best = max(read, key=_fewest)
    if not _fewest(best):
        raise BadShutTest(
            f"'{name}': nothing stands in the log within {near.total_seconds() / 60.0:.0f} minutes "
            f"of both ends of that time: read it when you shut it and before you open it."
        )
    return best


def _fewest(ends: _Ends) -> int:
    return min(ends.first.count, ends.last.count)


def _levels(gauge: Gauge, taken: Taken, *, kept: Kept) -> Levels:
    found = levels(gauge, taken.value, air_c=_air_c(gauge, taken, kept=kept))
    if not np.isfinite(found.level_m).all():
        raise BadLog(f"Gauge '{gauge.name}' tells no level: its zero is not known.")
    if found.at_least.any():
        raise BadLog(f"'{gauge.name}' cannot see the water: it stands too near below it.")
    return found


def _air_c(gauge: Gauge, taken: Taken, *, kept: Kept) -> FloatArray:
    """The air at the readings; nan beyond the first and last that was measured."""
    if not gauge.air_gauge:
        return np.full(taken.count, np.nan)
    air = kept.readings(gauge.air_gauge)
    if not air.count:
        return np.full(taken.count, np.nan)
    at, known = (one.at_utc.astype(np.int64) for one in (taken, air))
    return np.interp(at, known, air.value, left=np.nan, right=np.nan)


def _noise_m(ends: _Ends, common_sd_m: float) -> float:
    """Of one reading, with its part of what all readings at an end are off together.

    By a difference of two means, which is wrong by noise * sqrt(1/n + 1/m) and twice by the other.
    """
    by_count = 1.0 / ends.first.count + 1.0 / ends.last.count
    return math.hypot(noise_m(ends.gauge), common_sd_m * math.sqrt(2.0 / by_count))
