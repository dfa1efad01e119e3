"""A log kept in memory, for tests; what it holds is invented."""

from datetime import UTC, datetime

import numpy as np

from eavewell.logbook.kept import Taken
from eavewell.site.entry import Done, Load, Note, Outage, Reading, Tested

KINDS = {
    "reading": Reading,
    "load": Load,
    "done": Done,
    "outage": Outage,
    "tested": Tested,
    "note": Note,
}


class InMemory:
    """Entries in the order they came; readings also as arrays by gauge."""

    def __init__(self, entries=()):
        self.listed = list(entries)
        self.arrays = {}

    def add(self, *entries):
        self.listed += entries
        return self

    def add_arrays(self, gauge, at_utc, value):
        """Many readings at once: times as datetime64 in universal time."""
        self.arrays[gauge] = (np.asarray(at_utc, "datetime64[ms]"), np.asarray(value, float))
        return self

    def readings(self, gauge, since=None, until=None):
        ours = [one for one in self.listed if isinstance(one, Reading) and one.gauge == gauge]
        at = np.array([instant(one.at) for one in ours], dtype="datetime64[ms]")
        value = np.array([one.value for one in ours], dtype=float)
        if gauge in self.arrays:
            more_at, more = self.arrays[gauge]
            at, value = np.concatenate([at, more_at]), np.concatenate([value, more])
        at, first = np.unique(at, return_index=True)
        inside = np.ones(at.size, dtype=bool)
        if since is not None:
            inside &= at >= instant(since)
        if until is not None:
            inside &= at < instant(until)
        return Taken(at[inside], value[first][inside], first[inside])

    def entries(self, kind, since=None, until=None):
        found = [
            (key, one)
            for key, one in enumerate(self.listed)
            if isinstance(one, KINDS[kind])
            and (since is None or when(one) >= since)
            and (until is None or when(one) < until)
        ]
        return tuple(sorted(found, key=lambda pair: when(pair[1])))


def instant(at):
    """An instant with its offset as datetime64 in universal time."""
    return np.datetime64(at.astimezone(UTC).replace(tzinfo=None), "ms")


def when(entry):
    if isinstance(entry, Load):
        return entry.came or entry.ordered or datetime.min.replace(tzinfo=UTC)
    return entry.began if isinstance(entry, Outage) else entry.at
