"""The last level of each tank, and what it held a day and a week before."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

import numpy as np

from eavewell.faults import BadLog
from eavewell.logbook.gauges import gauges_of
from eavewell.logbook.kept import DaySums, Kept, Times
from eavewell.logbook.kept_days import sums_of
from eavewell.logbook.knots import Held, held_at, together
from eavewell.logbook.midnights import zone_of
from eavewell.site.gauge import Gauge
from eavewell.site.site import Site
from eavewell.site.tank import Tank

LATELY = timedelta(days=45)
NOON = 12


@dataclass(frozen=True, slots=True)
class Latest:
    """One tank at its last reading.

    at : the instant, in the site's own time zone. held_l : above the dead storage, sd_l its
    standard error. day_before_l, week_before_l : so long before; None where not known.
    """

    tank: str
    at: datetime
    held_l: float
    sd_l: float
    day_before_l: float | None
    week_before_l: float | None

    @property
    def stood_on(self) -> date:
        """The day in whose morning it stood: a reading of the afternoon tells of the next one."""
        day = self.at.date()
        return day if self.at.hour < NOON else day + timedelta(days=1)


def latest_levels(site: Site, kept: Kept, *, until: datetime) -> tuple[Latest, ...]:
    """The tanks whose level was ever read before an instant, in the site's order.

    A tank whose shape or gauge is not known well enough for a volume is left out.
    """
    log = _Log(site, kept, until)
    found = (_latest(log, tank) for tank in site.tanks if not tank.is_sump)
    return tuple(one for one in found if one is not None)


@dataclass(frozen=True, slots=True, eq=False)
class _Log:
    """A site's log up to an instant."""

    site: Site
    kept: Kept
    until: datetime

    def lately(self, gauge: str) -> DaySums:
        """Of the last weeks; of all time where nothing was read in them."""
        zone = self.site.log.zone
        since = self.until - LATELY
        near = sums_of(self.kept, gauge, zone=zone, since=since, until=self.until)
        if near.dates.size:
            return near
        return sums_of(self.kept, gauge, zone=zone, since=None, until=self.until)


def _latest(log: _Log, tank: Tank) -> Latest | None:
    all_gauges = gauges_of(log.site)
    gauges = [one for one in all_gauges if (one.measures, one.of) == ("level", tank.name)]
    sums = {one.name: log.lately(one.name) for one in gauges}
    read = [one.last_at_utc[-1] for one in sums.values() if one.dates.size]
    if not read:
        return None
    instants = max(read) - np.array([7, 1, 0]).astype("timedelta64[D]")
    parts = [
        held
        for one in gauges
        if sums[one.name].dates.size
        and (held := _held(log, one, tank=tank, sums=sums[one.name], instants=instants))
    ]
    held = together(parts) if parts else None
    if held is None or not np.isfinite(held.held_l[-1]):
        return None
    week, day = (float(one) if np.isfinite(one) else None for one in held.held_l[:-1])
    at: datetime = max(read).astype("datetime64[us]").astype(object)
    local = at.replace(tzinfo=UTC).astimezone(zone_of(log.site.log.zone))
    return Latest(tank.name, local, float(held.held_l[-1]), float(held.sd_l[-1]), day, week)


def _held(log: _Log, gauge: Gauge, *, tank: Tank, sums: DaySums, instants: Times) -> Held | None:
    """By one gauge; None where it does not tell a volume."""
    air = log.lately(gauge.air_gauge) if gauge.air_gauge else None
    try:
        return held_at(instants, gauge, tank=tank, sums=sums, air=air)
    except BadLog:
        return None
