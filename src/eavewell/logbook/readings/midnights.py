"""Days of a place: the instants at which they begin, in universal time."""

from datetime import UTC, date, datetime, timedelta, tzinfo
from functools import cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np

from eavewell.faults import BadLog
from eavewell.logbook.kept import Times
from eavewell.site.rain_record import DayArray


@cache
def zone_of(name: str) -> tzinfo:
    """The time zone of that name; universal time where none is stated.

    Raises BadLog for a name that the list of time zones does not hold.
    """
    if not name:
        return UTC
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise BadLog(
            f"The time zone {name!r} is not known; write its name in the IANA list, such as "
            "'America/Chicago'."
        ) from None


def midnights_utc(first: date, days: int, *, zone: str) -> Times:
    """Where each of so many days begins and where the last ends, datetime64[ms], shape (day + 1,).

    Where clocks skip midnight the day begins as the clock is moved.
    """
    place = zone_of(zone)
    begun = [
        datetime.combine(first + timedelta(days=k), datetime.min.time(), place)
        for k in range(days + 1)
    ]
    instants = [one.astimezone(UTC).replace(tzinfo=None) for one in begun]
    return np.array(instants, dtype="datetime64[ms]")


def local_date(at_utc: np.datetime64, zone: str) -> date:
    """The day an instant lies in."""
    return instant_of(at_utc).astimezone(zone_of(zone)).date()


def instant_of(at_utc: np.datetime64) -> datetime:
    """An instant of an array as one with its offset."""
    instant: datetime = at_utc.astype("datetime64[us]").astype(object)
    return instant.replace(tzinfo=UTC)


def said_at(at_utc: np.datetime64, zone: str) -> str:
    """An instant as the clock of the place shows it; UTC where its zone is not stated."""
    local = instant_of(at_utc).astimezone(zone_of(zone))
    return f"{local:%Y-%m-%d %H:%M}" if zone else f"{local:%Y-%m-%d %H:%M} UTC"


def stamp_of(at: datetime) -> np.datetime64:
    """An instant with its offset as arrays have it, in ms of universal time."""
    return np.datetime64(at.astimezone(UTC).replace(tzinfo=None), "ms")


def days_from(first: date, days: int) -> DayArray:
    """So many days from the first on."""
    return np.datetime64(first, "D") + np.arange(days)
