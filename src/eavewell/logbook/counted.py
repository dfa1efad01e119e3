"""What the gauges of a site count: water of a line, hours of a lamp, rain of a day, loss."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime

import numpy as np

from eavewell.logbook.account import counts
from eavewell.logbook.counter import Counter
from eavewell.logbook.day_sums import summed
from eavewell.logbook.kept import Kept, Taken
from eavewell.logbook.meters import metered
from eavewell.logbook.midnights import local_date, zone_of
from eavewell.site.gauge import Gauge, Measures
from eavewell.site.line import Line
from eavewell.site.site import Site
from eavewell.treatment.order import uses_of


@dataclass(frozen=True, slots=True)
class Said:
    """The last figure of a gauge, in its internal unit, and the day it was read."""

    value: float
    day: date


@dataclass(frozen=True, slots=True, eq=False)
class Counted:
    """Gauges and their readings; each gauge is read from the store once.

    gauges : of the site, stated or implied. zone : in which its days are counted.
    """

    site: Site
    kept: Kept
    gauges: tuple[Gauge, ...]
    zone: str = ""
    _taken: dict[str, Taken] = field(default_factory=dict)

    def taken(self, gauge: Gauge) -> Taken:
        """Every reading of one gauge."""
        if gauge.name not in self._taken:
            self._taken[gauge.name] = self.kept.readings(gauge.name)
        return self._taken[gauge.name]

    def of(self, measures: Measures, *things: str) -> Iterator[Gauge]:
        """Gauges of a kind at any of these things; at any thing where none is given."""
        return (
            one
            for one in self.gauges
            if one.measures == measures and (not things or one.of in things)
        )

    def water_of(self, line: Line) -> Counter | None:
        """What a meter counts that stands on a line, or that counts just its uses."""
        names = [line.name, *(one.name for one in line.in_line if one.kind == "meter")]
        behind = {use.name for use in uses_of(self.site, line)}
        found = list(self.of("meter", *names)) or [
            one for one in self.of("meter") if behind and counts(self.site, one) == behind
        ]
        read = (one for one in found if self.taken(one).count)
        return next((Counter.of_meter(metered(self.taken(one), one)) for one in read), None)

    def hours_of(self, thing: str) -> Counter | None:
        """The hours that a lamp burned."""
        read = (one for one in self.of("lamp hours", thing) if self.taken(one).count)
        return next((Counter.of_hours(self.taken(one)) for one in read), None)

    def last(self, measures: Measures, *things: str) -> Said | None:
        """The newest figure of any gauge of a kind at these things."""
        found = [
            Said(float(taken.value[-1]), local_date(taken.at_utc[-1], self.zone))
            for gauge in self.of(measures, *things)
            if (taken := self.taken(gauge)).count
        ]
        return max(found, key=lambda one: one.day, default=None)

    def days_read(self, measures: Measures, *things: str) -> set[date]:
        """The days on which any gauge of a kind at these things was read."""
        return {
            day
            for gauge in self.of(measures, *things)
            for day in summed(self.taken(gauge), self.zone).dates.tolist()
        }

    def rain_mm(self) -> dict[date, float]:
        """Rain by the site's own gauge, each day that it was read; of several the wettest."""
        found: dict[date, float] = {}
        for gauge in self.of("rain"):
            sums = summed(self.taken(gauge), self.zone)
            for day, depth_mm in zip(sums.dates.tolist(), sums.total.tolist(), strict=True):
                found[day] = max(depth_mm, found.get(day, 0.0))
        return found

    def first_day(self) -> date | None:
        """The day of the very first reading."""
        firsts = [taken.at_utc[0] for one in self.gauges if (taken := self.taken(one)).count]
        return local_date(np.min(firsts), self.zone) if firsts else None


def midnight(day: date, zone: str) -> datetime:
    """The instant at which a day begins."""
    return datetime(day.year, day.month, day.day, tzinfo=zone_of(zone))
