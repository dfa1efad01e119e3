"""Entries written into a log within one transaction."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

import sqlalchemy as sa

from eavewell.faults import BadLog
from eavewell.logbook.kept import ManyReadings
from eavewell.logbook.store.arriving import Added, Batch, Hand, Origin, Shelf, by_gauge, take_in
from eavewell.logbook.store.documents import complete, digest_of, instant_of, kind_of, text_of
from eavewell.logbook.store.layout import brought, correction, entry, gauge, hand
from eavewell.logbook.store.rows import instant, ms_of, new_key
from eavewell.logbook.store.turn import lock
from eavewell.site.entry import Entry, Reading

_NOBODY = -1
# beyond the keys of sites, by which their own logs are locked
_HANDS_LOCK = 2**62


@dataclass(frozen=True, slots=True)
class Log:
    """One site's log over one connection, within a transaction.

    site_key : of the site. zone : of its days.
    """

    connection: sa.Connection
    site_key: int
    zone: str

    def lock(self) -> None:
        """Keep other writers of this site's log out until the transaction ends."""
        lock(self.connection, self.site_key)

    def gauge_key(self, name: str, *, make: bool = False) -> int:
        """The key of a gauge; one that none has where it was never written."""
        asked = sa.select(gauge.c.key).where(
            gauge.c.site_key == self.site_key, gauge.c.name == name
        )
        found = self.connection.execute(asked).scalar()
        if found is None and make:
            return new_key(self.connection, gauge, site_key=self.site_key, name=name)
        return _NOBODY if found is None else int(found)

    def hand_key(self, by: Hand) -> int:
        """The key of by whom and how; written where it is new."""
        zone, who, how = by
        asked = sa.select(hand.c.key).where(
            hand.c.zone == zone, hand.c.who == who, hand.c.how == how
        )
        found = self.connection.execute(asked).scalar()
        if found is None and self.connection.dialect.name == "postgresql":
            # another site of the office may be writing the same
            lock(self.connection, _HANDS_LOCK)
            found = self.connection.execute(asked).scalar()
        if found is not None:
            return int(found)
        return new_key(self.connection, hand, zone=zone, who=who, how=how)


def written(
    log: Log,
    entries: Iterable[Entry | ManyReadings],
    *,
    origin: Origin | None,
    now: datetime | None,
) -> Added:
    """Write what is new of entries; see `Store.add`."""
    readings: list[Reading | ManyReadings] = []
    others: list[Entry] = []
    for one in entries:
        if isinstance(one, ManyReadings):
            readings.append(one)
        else:
            complete(one)
            readings.append(one) if isinstance(one, Reading) else others.append(one)
    now_ms = None if now is None else ms_of(now)
    if origin is not None and (before := _before(log, origin)) is not None:
        return before
    key = None if origin is None else _noted(log, origin, now_ms=now_ms)
    added = Added()
    for batch in by_gauge(readings):
        added += take_in(_shelf(log, batch, stamp=(now_ms, key)), batch)
    added += _others(log, others, stamp=(now_ms, key))
    if key is not None:
        _counted(log, key, added=added)
    return added


Stamp = tuple[int | None, int | None]


def _shelf(log: Log, batch: Batch, *, stamp: Stamp) -> Shelf:
    hands = {by: log.hand_key(by) for by in dict.fromkeys(batch.columns.hands)}
    gauge_key = log.gauge_key(batch.gauge, make=True)
    return Shelf(log.connection, gauge_key, log.zone, hands, *stamp)


def _before(log: Log, origin: Origin) -> Added | None:
    """What is said of a file that was brought in before; None for a new one."""
    asked = sa.select(brought).where(
        brought.c.site_key == log.site_key, brought.c.digest == origin.digest
    )
    found = log.connection.execute(asked).one_or_none()
    if found is None or origin.again:
        return None
    at = instant(found.at_ms) if found.at_ms is not None else None
    return Added(0, found.new + found.already, before=at, known=True)


def _noted(log: Log, origin: Origin, *, now_ms: int | None) -> int:
    """The key of the file's record; it is counted when all is written."""
    asked = sa.select(brought.c.key).where(
        brought.c.site_key == log.site_key, brought.c.digest == origin.digest
    )
    if (found := log.connection.execute(asked).scalar()) is not None:
        return int(found)
    return new_key(
        log.connection,
        brought,
        site_key=log.site_key,
        digest=origin.digest,
        name=origin.name,
        who=origin.who,
        at_ms=now_ms,
        **dict.fromkeys(("new", "already", "differs"), 0),
    )


def _counted(log: Log, key: int, *, added: Added) -> None:
    told = sa.update(brought).where(brought.c.key == key)
    log.connection.execute(
        told.values(
            new=brought.c.new + added.new,
            already=added.already,
            differs=len(added.differs),
        )
    )


def _others(log: Log, others: Sequence[Entry], *, stamp: Stamp) -> Added:
    """Write entries that are no readings; one that was corrected does not come in again."""
    known = _digests(log) if others else set()
    rows = []
    for one in others:
        digest = digest_of(one)
        if digest in known:
            continue
        known.add(digest)
        rows.append(
            {
                "site_key": log.site_key,
                "kind": kind_of(one),
                "at_ms": ms_of(instant_of(one)),
                "says": text_of(one),
                "digest": digest,
                "written_ms": stamp[0],
                "brought_key": stamp[1],
            }
        )
    if rows:
        log.connection.execute(sa.insert(entry), rows)
    return Added(len(rows), len(others) - len(rows))


def _digests(log: Log) -> set[str]:
    stands = sa.select(entry.c.digest).where(entry.c.site_key == log.site_key)
    stood = (
        sa.select(correction.c.digest)
        .join(entry, correction.c.entry_key == entry.c.key)
        .where(entry.c.site_key == log.site_key)
    )
    return set(log.connection.execute(stands.union_all(stood)).scalars())


def refuse_no_reason(why: str) -> None:
    """Raises BadLog where a correction gives no reason."""
    if not why.strip():
        raise BadLog("A correction needs its reason: what was wrong, in a few words.")
