"""What a log says besides its readings: taken out once, each kind in the order of time."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from eavewell.logbook.kept import Kept, Kind
from eavewell.logbook.readings.midnights import zone_of
from eavewell.site.entry import Done, Entry, Load, Note, Outage, Tested


@dataclass(frozen=True, slots=True)
class Noted:
    """Everything in a log that is no reading.

    zone : time zone in which the site counts its days; "" is universal time.
    """

    zone: str = ""
    done: tuple[Done, ...] = ()
    outages: tuple[Outage, ...] = ()
    tested: tuple[Tested, ...] = ()
    loads: tuple[Load, ...] = ()
    notes: tuple[Note, ...] = ()

    def day(self, at: datetime) -> date:
        """The day of an instant as the site counts it."""
        return at.astimezone(zone_of(self.zone)).date()


def noted(kept: Kept, *, zone: str = "", until: datetime | None = None) -> Noted:
    """Everything that a store keeps besides readings.

    zone : of the days, by its name in the IANA list. until : what was done, tested or out after
    the day of this instant is left out, as a slip of the pen; None leaves nothing out.
    """
    end = None if until is None else _end_of_day(until, zone)
    return Noted(
        zone,
        tuple(one for one in _entries(kept, "done", until=end) if isinstance(one, Done)),
        tuple(one for one in _entries(kept, "outage", until=end) if isinstance(one, Outage)),
        tuple(one for one in _entries(kept, "tested", until=end) if isinstance(one, Tested)),
        tuple(one for one in _entries(kept, "load") if isinstance(one, Load)),
        tuple(one for one in _entries(kept, "note") if isinstance(one, Note)),
    )


def _end_of_day(at: datetime, zone: str) -> datetime:
    day = at.astimezone(zone_of(zone)).date() + timedelta(days=1)
    return datetime.combine(day, time(), zone_of(zone))


def _entries(kept: Kept, kind: Kind, *, until: datetime | None = None) -> Iterator[Entry]:
    return (entry for _, entry in kept.entries(kind, until=until))
