"""What a counter went up between two instants: litres of a meter, hours of a lamp."""

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Self

import numpy as np

from eavewell.logbook.kept import Taken, Times
from eavewell.logbook.readings.meters import Metered
from eavewell.site.rain_record import FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Counter:
    """A counter as one line that never falls; both of shape (reading,).

    total : from its first reading on. began : what an hour counter said at its first reading.
    """

    at_utc: Times
    total: FloatArray
    began: float = 0.0

    @classmethod
    def of_hours(cls, taken: Taken) -> Self:
        """An hour counter; a figure lower than the one before it began anew at nothing."""
        if not taken.count:
            return cls(taken.at_utc, taken.value)
        steps = np.diff(taken.value)
        rises = np.where(steps >= 0.0, steps, taken.value[1:])
        return cls(taken.at_utc, np.concatenate([[0.0], np.cumsum(rises)]), float(taken.value[0]))

    @classmethod
    def of_meter(cls, found: Metered) -> Self:
        """A water meter; what nobody can tell is left out, so that it counts that much at least."""
        at_utc = np.concatenate([found.began_utc[:1], found.ended_utc])
        rises = np.nan_to_num(found.litres, nan=0.0)
        return cls(at_utc, np.concatenate([np.zeros(at_utc.size and 1), np.cumsum(rises)]))

    def between(self, since: datetime, until: datetime) -> float | None:
        """What it went up, evenly between readings; None where no two readings tell anything.

        Before its first and after its last reading nothing is known, and nothing is added.
        """
        if self.at_utc.size < 2:
            return None
        x = self.at_utc.astype(np.float64)
        low, high = (np.interp(instant_ms(at), x, self.total) for at in (since, until))
        return float(high - low)

    def a_day(self, since: datetime) -> float | None:
        """What it goes up in a mean day from an instant to its last reading."""
        last_ms = self.at_utc.astype(np.float64)[-1] if self.at_utc.size else 0.0
        first_ms = max(instant_ms(since), self.at_utc.astype(np.float64)[0]) if last_ms else 0.0
        if last_ms <= first_ms:
            return None
        risen = self.between(since, _instant(last_ms))
        return None if risen is None else risen / ((last_ms - first_ms) / MS_OF_DAY)

    def reached(self, since: datetime, amount: float) -> datetime | None:
        """When it had gone up so much; None where it has not."""
        x = self.at_utc.astype(np.float64)
        if x.size < 2:
            return None
        aim = np.interp(instant_ms(since), x, self.total) + amount
        at = int(np.searchsorted(self.total, aim))
        if at == x.size:
            return None
        return _instant(float(np.interp(aim, self.total[: at + 1], x[: at + 1])))

    @property
    def first(self) -> datetime | None:
        """When it was first read."""
        return _instant(float(self.at_utc.astype(np.float64)[0])) if self.at_utc.size else None

    @property
    def last(self) -> datetime | None:
        """When it was last read."""
        return _instant(float(self.at_utc.astype(np.float64)[-1])) if self.at_utc.size else None


MS_OF_DAY = 86_400_000.0


def instant_ms(at: datetime) -> float:
    """An instant as the store counts it."""
    return at.timestamp() * 1000.0


def _instant(ms: float) -> datetime:
    return datetime.fromtimestamp(ms / 1000.0, UTC)
