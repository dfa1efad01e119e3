"""Instants as somebody says them: "2027-03-04 7:30", "yesterday 18:00", "7:30"."""

import re
from datetime import UTC, date, datetime, time, timedelta, tzinfo

from eavewell.faults import BadLog

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_SHORTEST = 3
_TIME = re.compile(r"(?:^| )([0-2]?[0-9])(?:[:.h]([0-5][0-9]))? ?([ap]m|[ap]\.m\.)?$")
_NOON = 12.0
# years outside are slips of the pen
_FIRST_YEAR, _LAST_YEAR = 1900, 2200


def instant_said(
    text: str, *, now: datetime, zone: tzinfo | None = None, hour: float | None = None
) -> datetime:
    """The instant that is meant, with its offset; now where nothing is said.

    zone : of the clock that is meant; None that of this computer. hour : of a day without a time;
    noon where unknown. A weekday is the last of that name; of an hour that the clock shows twice
    the first is taken.
    Raises BadLog for what is no instant, and for an hour that the clock leaves out.
    """
    said = text.strip()
    if said.lower() in ("", "now"):
        return now.astimezone(zone)
    at = _instant(said, now=now, zone=zone, hour=hour)
    if not _FIRST_YEAR <= at.year < _LAST_YEAR:
        raise BadLog(f"The year {at.year} must be a slip of the pen; write four figures.")
    return at


def _instant(said: str, *, now: datetime, zone: tzinfo | None, hour: float | None) -> datetime:
    if re.search(r"[0-9](Z|[+-][0-9]{2}:?[0-9]{2})$", said):
        return _with_offset(said)
    day, clock = _parted(re.sub(r"(?<=[0-9])t(?=[0-9])", " ", said.lower()))
    local = now.astimezone(zone)
    when = _day(day, today=local.date(), said=said) if day else local.date()
    return _on_the_clock(datetime.combine(when, _clock(clock, hour, said=said)), zone)


def _with_offset(said: str) -> datetime:
    try:
        return datetime.fromisoformat(said)
    except ValueError:
        raise _no_instant(said) from None


def _parted(said: str) -> tuple[str, re.Match[str] | None]:
    found = _TIME.search(said)
    if found and (found[2] or found[3]):
        return said[: found.start()].strip(), found
    return said, None


def _clock(found: re.Match[str] | None, hour: float | None, *, said: str) -> time:
    if found is None:
        minutes = round((_NOON if hour is None else hour) * 60.0)
        return time(minutes // 60 % 24, minutes % 60)
    hours, minutes = int(found[1]), int(found[2] or 0)
    if half := (found[3] or "")[:1]:
        if not 1 <= hours <= 12:
            raise _no_instant(said)
        hours = hours % 12 + (12 if half == "p" else 0)
    if hours > 23:
        raise _no_instant(said)
    return time(hours, minutes)


def _day(said_day: str, *, today: date, said: str) -> date:
    if said_day in ("today", "yesterday"):
        return today - timedelta(days=("today", "yesterday").index(said_day))
    for n, name in enumerate(WEEKDAYS):
        if len(said_day) >= _SHORTEST and name.startswith(said_day):
            return today - timedelta(days=(today.weekday() - n) % 7)
    try:
        return date.fromisoformat(said_day)
    except ValueError:
        raise _no_instant(said) from None


def _on_the_clock(local: datetime, zone: tzinfo | None) -> datetime:
    if not _FIRST_YEAR <= local.year < _LAST_YEAR:
        return local  # no clock is asked about it
    at = local.astimezone() if zone is None else local.replace(tzinfo=zone)
    if at.astimezone(UTC).astimezone(at.tzinfo).replace(tzinfo=None) != local:
        raise BadLog(
            f"{local:%Y-%m-%d %H:%M} was on no clock: clocks were put forward over it. Write the "
            "hour that they showed after that."
        )
    return at


def _no_instant(said: str) -> BadLog:
    return BadLog(
        f"{said!r} is no time: write it as '2027-03-04 7:30', '7:30', 'yesterday 18:00' or "
        "'Friday 7:30'."
    )
