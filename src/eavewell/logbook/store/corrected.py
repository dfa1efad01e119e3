"""Corrections: another entry in place of one, and what stood kept with who, when and why."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

import sqlalchemy as sa

from eavewell.faults import BadLog
from eavewell.logbook.kept import Kind
from eavewell.logbook.store.documents import (
    complete,
    digest_of,
    entry_of,
    instant_of,
    kind_of,
    text_of,
)
from eavewell.logbook.store.layout import correction, entry, reading
from eavewell.logbook.store.read import entry_at
from eavewell.logbook.store.rows import instant, ms_of
from eavewell.logbook.store.sums import resum
from eavewell.logbook.store.written import Log, refuse_no_reason
from eavewell.site.entry import Entry, Reading


@dataclass(frozen=True, slots=True)
class Correction:
    """Why an entry was corrected, by whom and when; was : what stood before."""

    why: str
    who: str = ""
    made: datetime | None = None
    was: Entry | None = None


def put_right(log: Log, key: int, *, right: Entry, because: Correction) -> None:
    """Put an entry in place of the one of that key; see `Store.correct`."""
    refuse_no_reason(because.why)
    complete(right)
    kind, at_ms = kind_of(right), ms_of(instant_of(right))
    was = entry_at(log, kind, key=key)
    _keep(log, key, was=was, because=because)
    if isinstance(right, Reading):
        _put_reading(log, key, right=right)
        _resum(log, was, right)
        return
    told = {"at_ms": at_ms, "says": text_of(right), "digest": digest_of(right), "struck": False}
    _refuse_twin(log, key, digest=told["digest"])
    log.connection.execute(sa.update(entry).where(entry.c.key == key).values(told))


def struck(log: Log, kind: Kind, *, key: int, because: Correction) -> None:
    """Take out the entry of that key; see `Store.strike`."""
    refuse_no_reason(because.why)
    was = entry_at(log, kind, key=key)
    _keep(log, key, was=was, because=because)
    table = reading if kind == "reading" else entry
    log.connection.execute(sa.update(table).where(table.c.key == key).values(struck=True))
    _resum(log, was)


def corrections(log: Log, kind: Kind, *, key: int) -> tuple[Correction, ...]:
    """What an entry said before, the oldest first."""
    of = correction.c.reading_key if kind == "reading" else correction.c.entry_key
    asked = sa.select(correction).where(of == key).order_by(correction.c.key)
    entry_at(log, kind, key=key)
    return tuple(
        Correction(
            row.why,
            row.who,
            None if row.made_ms is None else instant(row.made_ms),
            entry_of(kind, row.was),
        )
        for row in log.connection.execute(asked)
    )


def _keep(log: Log, key: int, *, was: Entry, because: Correction) -> None:
    stood: dict[str, Any] = {"entry_key": key, "digest": digest_of(was)}
    if isinstance(was, Reading):
        stood = {
            "reading_key": key,
            "gauge_key": log.gauge_key(was.gauge),
            "at_ms": ms_of(was.at),
            "value": was.value,
        }
    made_ms = None if because.made is None else ms_of(because.made)
    told = {"was": text_of(was), "why": because.why, "who": because.who, "made_ms": made_ms}
    log.connection.execute(sa.insert(correction).values(stood | told))


def _put_reading(log: Log, key: int, *, right: Reading) -> None:
    gauge_key, at_ms = log.gauge_key(right.gauge, make=True), ms_of(right.at)
    there = sa.select(reading.c.key).where(
        reading.c.gauge_key == gauge_key, reading.c.at_ms == at_ms, reading.c.key != key
    )
    if (other := log.connection.execute(there).scalar()) is not None:
        raise BadLog(
            f"Gauge '{right.gauge}' has another reading at that instant (number {other}): correct "
            "that one."
        )
    log.connection.execute(
        sa.update(reading)
        .where(reading.c.key == key)
        .values(
            gauge_key=gauge_key,
            at_ms=at_ms,
            value=right.value,
            said=right.said or None,
            hand_key=log.hand_key((right.zone, right.who, right.how)),
            note=right.note or None,
            struck=False,
        )
    )


def _refuse_twin(log: Log, key: int, *, digest: object) -> None:
    twin = sa.select(entry.c.key).where(
        entry.c.site_key == log.site_key, entry.c.digest == digest, entry.c.key != key
    )
    if (other := log.connection.execute(twin).scalar()) is not None:
        raise BadLog(f"The same stands in the log already (number {other}): strike one of them.")


def _resum(log: Log, *touched: Entry) -> None:
    for one in touched:
        if isinstance(one, Reading):
            resum(log.connection, log.gauge_key(one.gauge), zone=log.zone, at_ms=ms_of(one.at))
