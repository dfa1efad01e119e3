"""Daily sums of a gauge from a store, whether it keeps them or not."""

from collections.abc import Sequence
from dataclasses import fields
from datetime import datetime

import numpy as np

from eavewell.logbook.kept import DaySums, Kept, KeptByDay, Taken
from eavewell.logbook.readings.day_sums import summed
from eavewell.logbook.readings.midnights import instant_of, zone_of


def sums_of(
    kept: Kept, gauge: str, *, zone: str, since: datetime | None, until: datetime
) -> DaySums:
    """Sums of the days with a reading from one instant to before another.

    The day in which `until` lies is summed anew, since the store may hold what came later.
    """
    begun = until.astimezone(zone_of(zone)).replace(hour=0, minute=0, second=0, microsecond=0)
    whole = kept.day_sums(gauge, since, until=begun) if isinstance(kept, KeptByDay) else None
    if whole is None:
        return summed(kept.readings(gauge, since, until=until), zone)
    rest = summed(kept.readings(gauge, begun, until=until), zone)
    return _joined((whole, rest)) if rest.dates.size else whole


def thinned(kept: Kept, gauge: str, *, sums: DaySums) -> Taken:
    """First and last readings of each day, and all of the days about a fall of the figure."""
    at = [sums.first_at_utc, sums.last_at_utc]
    value = [sums.first, sums.last]
    falls = sums.falls > 0
    overnight = sums.first[1:] < sums.last[:-1]
    falls[1:] |= overnight
    falls[:-1] |= overnight
    for k in np.flatnonzero(falls & (sums.count > 2)):
        # to its last reading, which is there already
        day = kept.readings(
            gauge, instant_of(sums.first_at_utc[k]), until=instant_of(sums.last_at_utc[k])
        )
        at.append(day.at_utc)
        value.append(day.value)
    instants, rows = np.unique(np.concatenate(at), return_index=True)
    return Taken(instants, np.concatenate(value)[rows], rows)


def _joined(parts: Sequence[DaySums]) -> DaySums:
    return DaySums(
        **{
            one.name: np.concatenate([getattr(p, one.name) for p in parts])
            for one in fields(DaySums)
        }
    )
