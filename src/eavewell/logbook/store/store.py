"""The store of a site's log: entries in, entries out, corrections that keep what was."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import datetime
from types import TracebackType
from typing import Self

import sqlalchemy as sa

from eavewell.logbook.kept import DaySums, Kind, ManyReadings, Taken
from eavewell.logbook.store.arriving import Added, Origin
from eavewell.logbook.store.corrected import Correction, corrections, put_right, struck
from eavewell.logbook.store.erased import erase, overwrite
from eavewell.logbook.store.layout import gauge, told
from eavewell.logbook.store.place import Place, in_words
from eavewell.logbook.store.read import (
    days_asked,
    entries_asked,
    entry_at,
    last_reading,
    readings_asked,
)
from eavewell.logbook.store.renamed import renamed
from eavewell.logbook.store.rows import instant, ms_of
from eavewell.logbook.store.sums import sums_of
from eavewell.logbook.store.written import Log, written
from eavewell.site.entry import Entry, Reading


class OpenLog:
    """A log that is open: one transaction after another over it."""

    def __init__(self, engine: sa.Engine, place: Place, *, key: int, zone: str) -> None:
        self.place = place
        self._engine = engine
        self._key = key
        self._zone = zone

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        raised: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file or database."""
        self._engine.dispose()

    @contextmanager
    def _reading(self) -> Iterator[Log]:
        with in_words(self.place), self._engine.connect() as connection:
            yield Log(connection, self._key, self._zone)

    @contextmanager
    def _writing(self) -> Iterator[Log]:
        with in_words(self.place), self._engine.connect() as plain:
            connection = plain.execution_options(writes=True)
            with connection.begin():
                log = Log(connection, self._key, self._zone)
                log.lock()
                yield log


class ReadLog(OpenLog):
    """What is asked of a log; every method may raise BadLog in a sentence."""

    def readings(
        self, gauge: str, since: datetime | None = None, *, until: datetime | None = None
    ) -> Taken:
        """Readings of a gauge from one instant to before another; empty for an unknown gauge."""
        with self._reading() as log:
            return readings_asked(log, gauge, span=(since, until))

    def entries(
        self, kind: Kind, since: datetime | None = None, *, until: datetime | None = None
    ) -> tuple[tuple[int, Entry], ...]:
        """Entries of a kind with their keys, in the order of time."""
        with self._reading() as log:
            return entries_asked(log, kind, span=(since, until))

    def latest(self, kind: Kind, *, most: int) -> tuple[tuple[int, Entry], ...]:
        """The newest entries of a kind with their keys, the newest first."""
        with self._reading() as log:
            return entries_asked(log, kind, span=(None, None), most=most)

    def day_sums(
        self, gauge: str, since: datetime | None = None, *, until: datetime | None = None
    ) -> DaySums | None:
        """Sums of the days that begin in that time, in the log's zone."""
        with self._reading() as log:
            key = log.gauge_key(gauge)
            return sums_of(log.connection, key, days=days_asked(log.zone, since, until=until))

    def last(self, gauge: str) -> Reading | None:
        """The newest reading of a gauge; None where it has none."""
        with self._reading() as log:
            return last_reading(log, gauge)

    def entry(self, kind: Kind, key: int) -> Entry:
        """The entry of that key, as it stands now; BadLog where there is none."""
        with self._reading() as log:
            return entry_at(log, kind, key=key)

    def gauges(self) -> tuple[str, ...]:
        """Names of the gauges that were ever written here, the site file's or not."""
        with self._reading() as log:
            named = sa.select(gauge.c.name).where(gauge.c.site_key == self._key)
            return tuple(log.connection.execute(named.order_by(gauge.c.name)).scalars())

    def corrections(self, kind: Kind, key: int) -> tuple[Correction, ...]:
        """What an entry said before, the oldest first."""
        with self._reading() as log:
            return corrections(log, kind, key=key)

    def told(self) -> Mapping[str, datetime]:
        """Alerts that stand and that somebody was told of: each mark with when."""
        with self._reading() as log:
            asked = sa.select(told.c.mark, told.c.at_ms).where(told.c.site_key == self._key)
            return {mark: instant(at_ms) for mark, at_ms in log.connection.execute(asked)}


class Store(ReadLog):
    """The log of one site, wherever it is kept; every method may raise BadLog in a sentence.

    What is written is on the disk when the method returns, or nothing of it is.
    """

    def add(
        self,
        entries: Iterable[Entry | ManyReadings],
        *,
        origin: Origin | None = None,
        now: datetime | None = None,
    ) -> Added:
        """Write what is new; all of it is on the disk on return, or nothing is.

        The same reading of a gauge at the same instant, or the same entry, is there already; a
        reading that says otherwise at the same instant is kept out and told.
        origin : the file they came from; the same file again adds nothing. now : when written.
        """
        with self._writing() as log:
            return written(log, entries, origin=origin, now=now)

    def correct(
        self, key: int, entry: Entry, *, why: str, who: str = "", now: datetime | None = None
    ) -> None:
        """Put another entry of the same kind in place of one; what stood is kept with the reason.

        key : of the reading, where the entry is one, else of the other entry.
        """
        with self._writing() as log:
            put_right(log, key, right=entry, because=Correction(why=why, who=who, made=now))

    def strike(
        self, kind: Kind, key: int, *, why: str, who: str = "", now: datetime | None = None
    ) -> None:
        """Take an entry out; it is kept with the reason, and does not come in again."""
        with self._writing() as log:
            struck(log, kind, key=key, because=Correction(why=why, who=who, made=now))

    def correct_all(
        self,
        rights: Iterable[tuple[int, Reading | None]],
        *,
        why: str,
        who: str = "",
        now: datetime | None = None,
    ) -> None:
        """Put many readings right, each by its key, or strike those with None; all or none."""
        because = Correction(why=why, who=who, made=now)
        with self._writing() as log:
            for key, right in rights:
                if right is None:
                    struck(log, "reading", key=key, because=because)
                else:
                    put_right(log, key, right=right, because=because)

    def rename(
        self,
        was: str,
        *,
        name: str,
        why: str,
        others: Iterable[tuple[int, Entry]] = (),
        now: datetime | None = None,
    ) -> int:
        """Put all readings of a gauge under another name; how many stood.

        others : entries that speak of it as they read now, each by its key; all or none.
        """
        because = Correction(why=why, made=now)
        with self._writing() as log:
            for key, right in others:
                put_right(log, key, right=right, because=because)
            return renamed(log, was, name=name, because=because)

    def erase(self) -> None:
        """Take out all of this site's log, and close it; nothing of it is kept."""
        with self._writing() as log:
            erase(log)
        with in_words(self.place):
            overwrite(self._engine)
        self.close()

    def set_told(self, marks: Mapping[str, datetime]) -> None:
        """Alerts that stand from now on, in place of those before."""
        with self._writing() as log:
            log.connection.execute(sa.delete(told).where(told.c.site_key == self._key))
            rows: Sequence[Mapping[str, object]] = [
                {"site_key": self._key, "mark": mark, "at_ms": ms_of(at)}
                for mark, at in marks.items()
            ]
            if rows:
                log.connection.execute(sa.insert(told), rows)
