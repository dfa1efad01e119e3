"""What the log tells the look ahead: levels, use, rain since, loads that came or are to come."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from eavewell.logbook.ahead.basis import Arrival, Asked, Standing
from eavewell.logbook.ahead.hauled_before import hauled_before
from eavewell.logbook.ahead.standing import logged_rain_mm, logged_standing
from eavewell.logbook.daily_log import DailyLog
from eavewell.logbook.kept import Kept
from eavewell.logbook.latest import Latest, latest_levels
from eavewell.logbook.readings.daily import daily_log
from eavewell.logbook.readings.midnights import zone_of
from eavewell.logbook.upkeep.open_orders import open_orders
from eavewell.site.entry import Load
from eavewell.site.site import Site

LATELY = timedelta(days=60)


@dataclass(frozen=True, slots=True, eq=False)
class Logged:
    """The log of the last weeks up to an instant."""

    day: date
    daily: DailyLog
    latest: tuple[Latest, ...]


def day_of(site: Site, now: datetime) -> date:
    """Today at the site; where it states no time zone, where `now` was read."""
    return (now.astimezone(zone_of(site.log.zone)) if site.log.zone else now).date()


def logged(site: Site, kept: Kept, *, now: datetime) -> Logged:
    """What stands in the log up to now; `now` with its offset."""
    # what is read at this very moment counts
    until = now + timedelta(milliseconds=1)
    latest = latest_levels(site, kept, until=until)
    oldest = min((one.at for one in latest), default=now)
    daily = daily_log(site, kept, until=until, since=oldest - LATELY)
    return Logged(day_of(site, now), daily, latest)


def asked_of_log(site: Site, kept: Kept, *, found: Logged, asked: Asked) -> tuple[Standing, Asked]:
    """Where the run begins by the log, and what is known since; what was asked comes on top."""
    standing = logged_standing(site, found.daily, latest=found.latest, day=found.day)
    rain = logged_rain_mm(found.daily, standing.read_on, before=found.day)
    last = {one.tank: one.at for one in found.latest}
    came = _loads(site, kept, last=last, day=found.day)
    return standing, replace(
        asked,
        rain_mm=rain | dict(asked.rain_mm),
        loads=(*came, *asked.loads),
        hauled=hauled_before(load for _, load in kept.entries("load") if isinstance(load, Load)),
    )


def _loads(site: Site, kept: Kept, *, last: dict[str, datetime], day: date) -> Sequence[Arrival]:
    """Loads since each tank's last reading, and those ordered that have not come yet."""
    zone, found = zone_of(site.log.zone), list[Arrival]()
    leads = {truck.to: truck.lead_days for truck in site.hauling}
    loads = [one for _, one in kept.entries("load") if isinstance(one, Load) and one.to in last]
    for load in loads:
        if load.came is not None and load.came > last[load.to]:
            found.append(Arrival(load.came.astimezone(zone).date(), load.to, load.volume_l))
    for load, ordered in open_orders(loads):
        comes = ordered.astimezone(zone).date() + timedelta(days=leads.get(load.to, 0))
        # An order that is overdue for long was never filled in; nobody counts on it.
        if comes + LATELY > day:
            found.append(Arrival(max(comes, day + timedelta(days=1)), load.to, load.volume_l))
    return sorted(found, key=lambda one: one.day)
