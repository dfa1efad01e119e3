"""What the rest of the logbook asks of a store: readings of a gauge, and the other entries."""

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Literal, Protocol, runtime_checkable

import numpy as np
from numpy.typing import NDArray

from eavewell.site.entry import Entry, Reading
from eavewell.site.rain_record import DayArray, FloatArray

Times = NDArray[np.datetime64]
Kind = Literal["reading", "load", "done", "outage", "tested", "note"]


@dataclass(frozen=True, slots=True, eq=False)
class Taken:
    """Readings of one gauge in the order of time; all of shape (reading,).

    at_utc : datetime64[ms], no instant twice. value : in the internal unit, as the gauge said it.
    keys   : by which the store knows each.
    """

    at_utc: Times
    value: FloatArray
    keys: NDArray[np.int64]

    @property
    def count(self) -> int:
        """Number of readings."""
        return int(self.at_utc.size)


@dataclass(frozen=True, slots=True, eq=False)
class DaySums:
    """A gauge's readings day by day, so that ten years need not be read again; shape (day,).

    Only days with a reading, in order; a day runs from midnight to midnight in the log's zone.
    What is early stands in the first hours of the day and what is late in its last (HOURS);
    `early` and `late` are medians at the mean time of their readings, nan and NaT for none.

    dates : the days. count : readings of the day.
    first_at_utc, first, last_at_utc, last : its first and last reading.
    early_count, early_at_utc, early, late_count, late_at_utc, late : of its first and last hours.
    total : sum of its figures. falls : readings lower than the one before on that day.
    least, most : of its figures.
    roughness : median size of second differences within the day; nan under three readings.
    """

    dates: DayArray
    count: NDArray[np.int64]
    first_at_utc: Times
    first: FloatArray
    last_at_utc: Times
    last: FloatArray
    early_count: NDArray[np.int64]
    early_at_utc: Times
    early: FloatArray
    late_count: NDArray[np.int64]
    late_at_utc: Times
    late: FloatArray
    total: FloatArray
    falls: NDArray[np.int64]
    least: FloatArray
    most: FloatArray
    roughness: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class ManyReadings:
    """Readings of one gauge as columns, in any order: how a file of a million comes in.

    at_utc : datetime64[ms]; value : in the internal unit; both of shape (reading,).
    said   : the figures as they came, shape (reading,); () where they need not be kept.
    zone, who, how : of all of them.
    """

    gauge: str
    at_utc: Times
    value: FloatArray
    said: tuple[str, ...] = ()
    zone: str = ""
    who: str = ""
    how: str = ""

    @property
    def count(self) -> int:
        """Number of readings."""
        return int(self.at_utc.size)

    def each(self) -> tuple[Reading, ...]:
        """The same readings one by one, their instants in universal time."""
        said = self.said or ("",) * self.count
        instants = self.at_utc.astype("datetime64[us]").astype(object)
        return tuple(
            Reading(
                self.gauge,
                at=instant.replace(tzinfo=UTC),
                value=value,
                said=words,
                zone=self.zone,
                who=self.who,
                how=self.how,
            )
            for instant, value, words in zip(instants, self.value.tolist(), said, strict=True)
        )


class Kept(Protocol):
    """A store of entries as the logbook reads it."""

    def readings(
        self, gauge: str, since: datetime | None = None, *, until: datetime | None = None
    ) -> Taken:
        """Readings of a gauge from one instant to before another; empty for an unknown gauge."""
        ...

    def entries(
        self, kind: Kind, since: datetime | None = None, *, until: datetime | None = None
    ) -> tuple[tuple[int, Entry], ...]:
        """Entries of a kind with their keys, in the order of time."""
        ...


@runtime_checkable
class KeptByDay(Protocol):
    """A store that keeps the daily sums of its readings as well (`logbook.day_sums.summed`)."""

    def day_sums(
        self, gauge: str, since: datetime | None = None, *, until: datetime | None = None
    ) -> DaySums | None:
        """Sums of the days that begin in that time; None where they are not kept in this zone."""
        ...


@runtime_checkable
class KeptByName(Protocol):
    """A store that knows under which names readings stand in it."""

    def gauges(self) -> tuple[str, ...]:
        """Names of the gauges that were ever written here, the site file's or not."""
        ...

    def last(self, gauge: str) -> Reading | None:
        """The newest reading of a gauge; None where it has none."""
        ...
