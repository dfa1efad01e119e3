"""What is asked of a log."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import Any

import sqlalchemy as sa

from eavewell.faults import BadLog
from eavewell.logbook.kept import Kind, Taken
from eavewell.logbook.readings.midnights import zone_of
from eavewell.logbook.store.documents import entry_of
from eavewell.logbook.store.layout import entry, gauge, hand, reading
from eavewell.logbook.store.rows import columns_of, instant, ms_of
from eavewell.logbook.store.sums import DAY_ZERO, times
from eavewell.logbook.store.written import Log
from eavewell.site.entry import Entry, Reading

Span = tuple[datetime | None, datetime | None]

# a database counts no further
_MOST_KEYS = 2**63


def _within(column: sa.Column[int], span: Span) -> list[sa.ColumnElement[bool]]:
    since, until = span
    found = [] if since is None else [column >= ms_of(since)]
    return found if until is None else [*found, column < ms_of(until)]


def readings_asked(log: Log, name: str, *, span: Span) -> Taken:
    """Readings of a gauge that stand, in the order of time."""
    asked = (
        sa.select(reading.c.at_ms, reading.c.value, reading.c.key)
        .where(reading.c.gauge_key == log.gauge_key(name))
        .where(~reading.c.struck, *_within(reading.c.at_ms, span))
        .order_by(reading.c.at_ms)
    )
    at_ms, value, keys = columns_of(log.connection, asked, "i8", "f8", "i8")
    return Taken(times(at_ms), value, keys)


def entries_asked(
    log: Log, kind: Kind, *, span: Span, most: int | None = None
) -> tuple[tuple[int, Entry], ...]:
    """Entries of a kind that stand, with their keys; where only so many, the newest come first."""
    if kind == "reading":
        asked = _whole_readings(log).where(~reading.c.struck, *_within(reading.c.at_ms, span))
        plain = most is None
        rows = (
            log.connection.execute(_ordered(asked, reading)) if plain else _newest(log, most or 0)
        )
        return tuple((int(row[0]), _reading(row)) for row in rows)
    told = (
        sa.select(entry.c.key, entry.c.says)
        .where(entry.c.site_key == log.site_key, entry.c.kind == kind)
        .where(~entry.c.struck, *_within(entry.c.at_ms, span))
    )
    rows = log.connection.execute(_ordered(told, entry, most=most))
    return tuple((int(key), entry_of(kind, says)) for key, says in rows)


def _newest(log: Log, most: int) -> list[Sequence[Any]]:
    """The newest readings of all gauges, each gauge looked up by itself: its index has them."""
    keys = sa.select(gauge.c.key).where(gauge.c.site_key == log.site_key)
    found: list[Sequence[Any]] = []
    for key in log.connection.execute(keys).scalars().all():
        asked = _whole_readings(log).where(reading.c.gauge_key == key, ~reading.c.struck)
        found += log.connection.execute(_ordered(asked, reading, most=most)).all()
    return sorted(found, key=lambda row: (row[2], row[0]), reverse=True)[:most]


def _ordered(asked: sa.Select[Any], table: sa.Table, *, most: int | None = None) -> sa.Select[Any]:
    if most is None:
        return asked.order_by(table.c.at_ms, table.c.key)
    return asked.order_by(table.c.at_ms.desc(), table.c.key.desc()).limit(most)


def last_reading(log: Log, name: str) -> Reading | None:
    """The newest reading of a gauge."""
    asked = (
        _whole_readings(log)
        .where(reading.c.gauge_key == log.gauge_key(name), ~reading.c.struck)
        .order_by(reading.c.at_ms.desc())
        .limit(1)
    )
    found = log.connection.execute(asked).one_or_none()
    return None if found is None else _reading(found)


def entry_at(log: Log, kind: Kind, *, key: int) -> Entry:
    """The entry of a key, struck or not; BadLog where there is none."""
    if not 0 < key < _MOST_KEYS:
        raise _no_entry(kind, key)
    if kind == "reading":
        found = log.connection.execute(_whole_readings(log).where(reading.c.key == key))
        if (row := found.one_or_none()) is not None:
            return _reading(row)
    else:
        asked = sa.select(entry.c.says).where(
            entry.c.site_key == log.site_key, entry.c.kind == kind, entry.c.key == key
        )
        if (says := log.connection.execute(asked).scalar()) is not None:
            return entry_of(kind, says)
    raise _no_entry(kind, key)


def _no_entry(kind: Kind, key: int) -> BadLog:
    return BadLog(f"The log has no {kind} with the number {key}: 'eavewell log show' lists them.")


def _whole_readings(log: Log) -> sa.Select[Any]:
    return (
        sa.select(
            reading.c.key,
            gauge.c.name,
            reading.c.at_ms,
            reading.c.value,
            reading.c.said,
            *(hand.c.zone, hand.c.who, hand.c.how),
            reading.c.note,
        )
        .join(gauge, reading.c.gauge_key == gauge.c.key)
        .join(hand, reading.c.hand_key == hand.c.key)
        .where(gauge.c.site_key == log.site_key)
    )


def _reading(row: Sequence[Any]) -> Reading:
    _, name, at_ms, value, said, zone, who, how, note = row
    at = instant(at_ms).astimezone(zone_of(zone))
    return Reading(
        name, at, value=value, said=said or "", zone=zone, who=who, how=how, note=note or ""
    )


def days_asked(zone: str, since: datetime | None, *, until: datetime | None) -> tuple[int, int]:
    """The days that begin from one instant to before another, counted from 1970."""
    first, last = -DAY_ZERO, date.max.toordinal()
    return (
        first if since is None else _begins(since, zone),
        last if until is None else _begins(until, zone),
    )


def _begins(at: datetime, zone: str) -> int:
    """The first day that begins at an instant or after it."""
    local = at.astimezone(zone_of(zone))
    midnight = local.replace(hour=0, minute=0, second=0, microsecond=0, fold=0)
    day = (
        local.date() + timedelta(days=1) if midnight.timestamp() < at.timestamp() else local.date()
    )
    return day.toordinal() - DAY_ZERO
