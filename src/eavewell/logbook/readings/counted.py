"""What the gauges of a site count: water of a line, hours of a lamp, rain of a day, loss."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime

import numpy as np

from eavewell.logbook.daily_log import DailyLog
from eavewell.logbook.kept import DaySums, Kept
from eavewell.logbook.readings.counter import Counter
from eavewell.logbook.readings.daily import daily_log
from eavewell.logbook.readings.kept_days import sums_of, thinned
from eavewell.logbook.readings.meters import metered
from eavewell.logbook.readings.midnights import zone_of
from eavewell.logbook.reconciled.account import counts
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
    """Gauges and what was read of them before an instant; each is taken from the store once.

    gauges : of the site, stated or implied. zone : in which its days are counted.
    log    : its daily log where it is there already; else it is made where it is asked for.
    """

    site: Site
    kept: Kept
    gauges: tuple[Gauge, ...]
    until: datetime
    zone: str = ""
    log: DailyLog | None = None
    _sums: dict[str, DaySums] = field(default_factory=dict)
    _counters: dict[str, Counter | None] = field(default_factory=dict)
    _rain_mm: dict[date, float] = field(default_factory=dict)

    def sums(self, gauge: Gauge) -> DaySums:
        """The readings of one gauge by day."""
        if gauge.name not in self._sums:
            self._sums[gauge.name] = sums_of(
                self.kept, gauge.name, zone=self.zone, since=None, until=self.until
            )
        return self._sums[gauge.name]

    def of(self, measures: Measures, *things: str) -> Iterator[Gauge]:
        """Gauges of a kind at any of these things that were read; at any where none is given."""
        return (
            one
            for one in self.gauges
            if one.measures == measures
            and (not things or one.of in things)
            and self.sums(one).dates.size
        )

    def water_of(self, line: Line) -> Counter | None:
        """What a meter counts that stands on a line, or that counts just its uses."""
        if line.name not in self._counters:
            names = [line.name, *(one.name for one in line.in_line if one.kind == "meter")]
            behind = {use.name for use in uses_of(self.site, line)}
            found = list(self.of("meter", *names)) or [
                one for one in self.of("meter") if behind and counts(self.site, one) == behind
            ]
            self._counters[line.name] = self._water(found[0]) if found else None
        return self._counters[line.name]

    def _water(self, gauge: Gauge) -> Counter:
        taken = thinned(self.kept, gauge.name, sums=self.sums(gauge))
        return Counter.of_meter(metered(taken, gauge))

    def hours_of(self, thing: str) -> Counter | None:
        """The hours that a lamp burned."""
        gauge = next(self.of("lamp hours", thing), None)
        if gauge is None:
            return None
        return Counter.of_hours(thinned(self.kept, gauge.name, sums=self.sums(gauge)))

    def last(self, measures: Measures, *things: str) -> Said | None:
        """The newest figure of any gauge of a kind at these things."""
        gauge = self.newest(measures, *things)
        if gauge is None:
            return None
        sums = self.sums(gauge)
        return Said(float(sums.last[-1]), sums.dates[-1].item())

    def newest(self, measures: Measures, *things: str) -> Gauge | None:
        """The gauge of a kind at these things that was read last."""
        return max(
            self.of(measures, *things),
            key=lambda one: self.sums(one).last_at_utc[-1],
            default=None,
        )

    def days_read(self, measures: Measures, *things: str) -> set[date]:
        """The days on which any gauge of a kind at these things was read."""
        return {day for one in self.of(measures, *things) for day in self.sums(one).dates.tolist()}

    def rain_mm(self) -> dict[date, float]:
        """Rain of each day that the site's own gauge tells; not of days that it gathered."""
        if not self._rain_mm and any(self.of("rain")):
            log = self.log or daily_log(self.site, self.kept, until=self.until)
            known = np.isfinite(log.rain_mm)
            days, depths_mm = log.dates[known].tolist(), log.rain_mm[known].tolist()
            self._rain_mm.update(zip(days, depths_mm, strict=True))
        return self._rain_mm

    def first_day(self) -> date | None:
        """The day of the very first reading."""
        firsts = [sums.dates[0] for one in self.gauges if (sums := self.sums(one)).dates.size]
        return min(firsts).item() if firsts else None


def midnight(day: date, zone: str) -> datetime:
    """The instant at which a day begins."""
    return datetime(day.year, day.month, day.day, tzinfo=zone_of(zone))
