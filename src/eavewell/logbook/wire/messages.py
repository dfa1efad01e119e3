"""What sensors say in messages of a broker: a plain number, or a figure within JSON."""

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

from eavewell.faults import BadLog
from eavewell.logbook.readings.figures import in_own_unit, scale_of
from eavewell.logbook.readings.gauges import gauges_of
from eavewell.site.entry import Reading
from eavewell.site.gauge import Feed, Gauge
from eavewell.site.site import Site

_LONGEST = 80
# seconds since 1970 until the year 2286 have ten figures, milliseconds thirteen
_SECONDS_END = 1e10
_NOT_BEFORE = datetime(2000, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Message:
    """One message of a broker.

    arrived : with its offset. kept : True where the broker kept it for whoever comes later, so
    that nobody knows how old it is.
    """

    topic: str
    payload: bytes
    arrived: datetime
    kept: bool = False


def fed(site: Site) -> Mapping[str, tuple[Gauge, ...]]:
    """The gauges whose figures come from each topic."""
    found: dict[str, tuple[Gauge, ...]] = {}
    for gauge in gauges_of(site):
        if gauge.feed is not None:
            found[gauge.feed.topic] = (*found.get(gauge.feed.topic, ()), gauge)
    return found


def reading_in(message: Message, gauge: Gauge, *, zone: str = "") -> Reading:
    """The reading of a gauge in a message.

    zone : in which the log counts its days.
    Raises BadLog in a sentence for what is no reading, or cannot be told how old it is.
    """
    feed = gauge.feed
    assert feed is not None
    plain = _plain(message, feed)
    figure = _number(_within(plain, feed.at, message=message), message)
    scale = scale_of(gauge)
    if scale is None:
        raise _bad(message, f"gauge '{gauge.name}' has no unit")
    value = (figure * feed.scale + feed.offset) * scale.factor + scale.offset
    _refuse_outside(gauge, value, message=message)
    at = _time(plain, feed, message=message)
    how = "" if gauge.how == "unknown" else gauge.how
    return Reading(gauge.name, at, value, said=f"{figure:.12g}", zone=zone, how=how)


def _plain(message: Message, feed: Feed) -> Any:
    try:
        text = message.payload.decode("utf-8").strip()
    except UnicodeDecodeError:
        raise _bad(message, "it is no text") from None
    if not feed.at:
        return text
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        raise _bad(message, "it is no JSON") from None


def _within(plain: Any, way: str, *, message: Message) -> Any:
    for step in way.split(".") if way else ():
        try:
            plain = plain[int(step)] if isinstance(plain, list) else plain[step]
        except (KeyError, IndexError, TypeError, ValueError):
            raise _bad(message, f"nothing stands at {way}") from None
    return plain


def _number(said: Any, message: Message) -> float:
    try:
        if isinstance(said, bool) or not isinstance(said, (int, float, str)):
            raise ValueError
        figure = float(said)
    except (ValueError, OverflowError):
        raise _bad(message, "its figure is no number") from None
    if not math.isfinite(figure):
        raise _bad(message, "its figure is no number")
    return figure


def _refuse_outside(gauge: Gauge, value: float, *, message: Message) -> None:
    for limit, outside in (
        (gauge.least, gauge.least is not None and value < gauge.least),
        (gauge.most, gauge.most is not None and value > gauge.most),
    ):
        if outside and limit is not None:
            said, most = in_own_unit(gauge, value), in_own_unit(gauge, limit)
            raise _bad(message, f"{said} is no reading of {gauge.name}, whose limit is {most}")


def _time(plain: Any, feed: Feed, *, message: Message) -> datetime:
    if not feed.time_at:
        if message.kept:
            raise _bad(message, "the broker kept it, and nobody knows how old it is")
        return message.arrived
    said = _within(plain, feed.time_at, message=message)
    at = _instant(said)
    if at is None or not _NOT_BEFORE <= at <= message.arrived + timedelta(days=1):
        raise _bad(message, f"{str(said)[:_LONGEST]!r} is no time at which it was measured")
    return at


def _instant(said: Any) -> datetime | None:
    try:
        if isinstance(said, str) and not said.replace(".", "").isdecimal():
            at = datetime.fromisoformat(said)
            return at if at.tzinfo is not None else None
        seconds = float(said)
        return datetime.fromtimestamp(seconds / (1.0 if seconds < _SECONDS_END else 1000.0), UTC)
    except (TypeError, ValueError, OverflowError, OSError):
        return None


def _bad(message: Message, why: str) -> BadLog:
    said = message.payload[:_LONGEST].decode("utf-8", "replace")
    return BadLog(f"{message.topic}: {why}: {said!r} was left out.")
