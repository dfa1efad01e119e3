"""Entries on their way into a log: what is new, what is there already, what differs."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from hashlib import sha256
from typing import Any

import numpy as np
import sqlalchemy as sa
from numpy.typing import NDArray

from eavewell.faults import BadLog
from eavewell.logbook.kept import ManyReadings
from eavewell.logbook.store.layout import correction, reading
from eavewell.logbook.store.rows import Instants, Stored, insert_rows, instant, ms_of
from eavewell.logbook.store.sums import rewrite, stored, whole_days
from eavewell.site.entry import Reading
from eavewell.site.rain_record import FloatArray

# two readings of one text may differ in their last bits
_SAME, _NOTHING = 1e-9, 1e-12


# zone, who, how
Hand = tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class Differs:
    """A reading that was kept out, as another one stands at the same instant of its gauge.

    stands : the value that stands. key : of the reading that stands; None where both came at once.
    """

    gauge: str
    at: datetime
    value: float
    stands: float
    key: int | None


@dataclass(frozen=True, slots=True)
class Added:
    """What became of entries.

    new, already : how many were written, and how many were there before. differs : those kept out.
    known : True where the same file was brought in before, and nothing was read again; before :
    when, where that is known.
    """

    new: int = 0
    already: int = 0
    differs: tuple[Differs, ...] = ()
    known: bool = False
    before: datetime | None = None

    def __add__(self, other: "Added") -> "Added":
        return Added(
            self.new + other.new, self.already + other.already, self.differs + other.differs
        )


@dataclass(frozen=True, slots=True)
class Origin:
    """A file that entries come from.

    digest : of its bytes and of what it was read as (`origin_of`). again : True reads one that was
    brought in before once more.
    """

    name: str
    digest: str
    who: str = ""
    again: bool = False


def origin_of(name: str, data: bytes, *, read_as: str = "", who: str = "") -> Origin:
    """The origin of entries from a file; read_as : such as the gauge that was named for it."""
    return Origin(name, sha256(read_as.encode() + b"\0" + data).hexdigest(), who)


@dataclass(slots=True)
class Columns:
    """Readings of one gauge as they arrived; lists of one length."""

    at_ms: list[Instants] = field(default_factory=list)
    value: list[FloatArray] = field(default_factory=list)
    said: list[str | None] = field(default_factory=list)
    hands: list[Hand] = field(default_factory=list)
    notes: list[str | None] = field(default_factory=list)

    def take(self, readings: Sequence[Reading]) -> None:
        """Add readings one by one."""
        self.at_ms.append(np.array([ms_of(one.at) for one in readings], dtype=np.int64))
        self.value.append(np.array([one.value for one in readings], dtype=np.float64))
        self.said += [one.said or None for one in readings]
        self.hands += [(one.zone, one.who, one.how) for one in readings]
        self.notes += [one.note or None for one in readings]

    def take_many(self, many: ManyReadings) -> None:
        """Add readings that are columns already."""
        self.at_ms.append(many.at_utc.astype("datetime64[ms]").astype(np.int64))
        self.value.append(np.asarray(many.value, dtype=np.float64))
        self.said += many.said or [None] * many.count
        self.hands += [(many.zone, many.who, many.how)] * many.count
        self.notes += [None] * many.count


@dataclass(frozen=True, slots=True, eq=False)
class Batch:
    """Readings of one gauge in the order of time; rows gives each its place as it arrived."""

    gauge: str
    at_ms: Instants
    value: FloatArray
    rows: Instants
    columns: Columns


@dataclass(frozen=True, slots=True)
class Shelf:
    """Where a batch goes: a gauge of a log within a transaction that writes.

    hands : keys of by whom and how. written_ms : when; brought_key : with which file.
    """

    connection: sa.Connection
    gauge_key: int
    zone: str
    hands: Mapping[Hand, int]
    written_ms: int | None
    brought_key: int | None


def by_gauge(readings: Iterable[Reading | ManyReadings]) -> tuple[Batch, ...]:
    """Readings of each gauge in the order of time.

    Raises BadLog for a figure that is none.
    """
    found: dict[str, Columns] = {}
    singly: dict[str, list[Reading]] = {}
    for one in readings:
        if isinstance(one, ManyReadings):
            found.setdefault(one.gauge, Columns()).take_many(one)
        else:
            singly.setdefault(one.gauge, []).append(one)
    for gauge, some in singly.items():
        found.setdefault(gauge, Columns()).take(some)
    return tuple(_batch(gauge, columns) for gauge, columns in found.items())


def _batch(gauge: str, columns: Columns) -> Batch:
    at_ms, value = np.concatenate(columns.at_ms), np.concatenate(columns.value)
    if not np.isfinite(value).all():
        raise BadLog(f"A reading of gauge '{gauge}' is no number: nothing was written.")
    rows = np.argsort(at_ms, kind="stable")
    return Batch(gauge, at_ms[rows], value[rows], rows, columns)


def take_in(shelf: Shelf, batch: Batch) -> Added:
    """Write what is new of a batch, and its day sums."""
    if not batch.at_ms.size:
        return Added()
    since, until = whole_days(batch.at_ms, shelf.zone)
    there = stored(shelf.connection, shelf.gauge_key, since=since, until=until)
    found = _judged(batch, there, corrected=_corrected(shelf))
    if found.new.any():
        rows = _rows(batch, found.new, shelf=shelf)
        insert_rows(shelf.connection, reading, columns=_COLUMNS, rows=rows)
        held = _joined(there, batch, new=found.new)
        rewrite(shelf.connection, shelf.gauge_key, held=held, zone=shelf.zone)
    differs = tuple(_differing(batch, there, found=found))
    return Added(
        int(found.new.sum()), batch.at_ms.size - int(found.new.sum()) - len(differs), differs
    )


_COLUMNS = (
    *("gauge_key", "at_ms", "value", "said", "hand_key", "note", "written_ms", "brought_key"),
)


@dataclass(frozen=True, slots=True, eq=False)
class _Judged:
    """What each reading of a batch is; shape (reading,).

    new : to be written. differs : neither new nor there. place : of the stored reading at its
    instant, -1 for none. lead : row of the first of the batch at its instant.
    """

    new: NDArray[np.bool_]
    differs: NDArray[np.bool_]
    place: Instants
    lead: Instants


def _judged(batch: Batch, there: Stored, *, corrected: set[tuple[int, float]]) -> _Judged:
    count = batch.at_ms.size
    first = np.r_[True, np.diff(batch.at_ms) > 0]
    lead = np.maximum.accumulate(np.where(first, np.arange(count), 0))
    place = np.searchsorted(there.at_ms, batch.at_ms)
    within = np.minimum(place, max(there.at_ms.size - 1, 0))
    known = np.zeros(count, bool)
    same = _same(batch.value, batch.value[lead])
    if there.at_ms.size:
        known = there.at_ms[within] == batch.at_ms
        same = np.where(known, _same(batch.value, there.value[within]), same)
    was = _as_before(batch, corrected)
    new = first & ~known & ~was
    return _Judged(new, ~new & ~same & ~was, np.where(known, within, -1), lead)


def _same(one: FloatArray, other: FloatArray) -> NDArray[np.bool_]:
    return np.asarray(np.isclose(one, other, rtol=_SAME, atol=_NOTHING))


def _as_before(batch: Batch, corrected: set[tuple[int, float]]) -> NDArray[np.bool_]:
    """True for what a correction has replaced: it does not come in again."""
    found = np.zeros(batch.at_ms.size, bool)
    for at_ms, value in corrected:
        low, high = np.searchsorted(batch.at_ms, [at_ms, at_ms + 1])
        found[low:high] |= _same(batch.value[low:high], np.full(high - low, value))
    return found


def _corrected(shelf: Shelf) -> set[tuple[int, float]]:
    asked = sa.select(correction.c.at_ms, correction.c.value)
    found = shelf.connection.execute(asked.where(correction.c.gauge_key == shelf.gauge_key))
    return {(int(at_ms), float(value)) for at_ms, value in found}


def _rows(batch: Batch, new: NDArray[np.bool_], *, shelf: Shelf) -> Iterator[Sequence[Any]]:
    columns, hands = batch.columns, shelf.hands
    which = zip(
        batch.rows[new].tolist(), batch.at_ms[new].tolist(), batch.value[new].tolist(), strict=True
    )
    key, stamp = shelf.gauge_key, (shelf.written_ms, shelf.brought_key)
    return (
        (
            key,
            at_ms,
            value,
            columns.said[row],
            hands[columns.hands[row]],
            columns.notes[row],
            *stamp,
        )
        for row, at_ms, value in which
    )


def _joined(there: Stored, batch: Batch, *, new: NDArray[np.bool_]) -> Stored:
    """Every reading of the days that a batch touches."""
    count = int(new.sum())
    at_ms = np.concatenate([there.at_ms, batch.at_ms[new]])
    order = np.argsort(at_ms, kind="stable")
    return Stored(
        at_ms[order],
        np.concatenate([there.value, batch.value[new]])[order],
        np.concatenate([there.keys, np.zeros(count, np.int64)])[order],
        np.concatenate([there.struck, np.zeros(count, bool)])[order],
    )


def _differing(batch: Batch, there: Stored, *, found: _Judged) -> Iterator[Differs]:
    for row in np.flatnonzero(found.differs).tolist():
        place = int(found.place[row])
        known = place >= 0
        yield Differs(
            batch.gauge,
            instant(int(batch.at_ms[row])),
            float(batch.value[row]),
            stands=float(there.value[place] if known else batch.value[found.lead[row]]),
            key=int(there.keys[place]) if known else None,
        )
