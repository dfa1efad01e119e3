"""A log in which nothing was written yet."""

from contextlib import AbstractContextManager, nullcontext
from datetime import datetime

import numpy as np

from eavewell.faults import BadLog
from eavewell.logbook.kept import Kept, Kind, Taken
from eavewell.logbook.store import open_log
from eavewell.logbook.store.place import place_of
from eavewell.site.entry import Entry, Reading
from eavewell.site.site import Site


class NothingKept:
    """No reading and no entry of any kind."""

    def readings(
        self, gauge: str, since: datetime | None = None, *, until: datetime | None = None
    ) -> Taken:
        """None."""
        at_utc = np.array([], dtype="datetime64[ms]")
        return Taken(at_utc, np.array([]), np.array([], dtype=np.int64))

    def entries(
        self, kind: Kind, since: datetime | None = None, *, until: datetime | None = None
    ) -> tuple[tuple[int, Entry], ...]:
        """None."""
        return ()

    def latest(self, kind: Kind, *, most: int) -> tuple[tuple[int, Entry], ...]:
        """None."""
        return ()

    def last(self, gauge: str) -> Reading | None:
        """None."""
        return None

    def gauges(self) -> tuple[str, ...]:
        """None."""
        return ()

    def entry(self, kind: Kind, key: int) -> Entry:
        """Refused: there is none."""
        raise BadLog(f"There is no {kind} number {key} in the log: nothing was written yet.")


def log_if_any(site: Site) -> AbstractContextManager[Kept]:
    """The log of a site; where none was begun, one in which nothing is kept, and none is made."""
    file = place_of(site).file
    if file is not None and not file.exists():
        return nullcontext(NothingKept())
    return open_log(site, make=False)
