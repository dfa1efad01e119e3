"""Room in the tanks when a storm begins."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from eavewell.site.rain_record import DayArray, FloatArray
from eavewell.tables import table

QUARTERS = {
    "Dec-Feb": (12, 1, 2),
    "Mar-May": (3, 4, 5),
    "Jun-Aug": (6, 7, 8),
    "Sep-Nov": (9, 10, 11),
}


@dataclass(frozen=True, slots=True)
class Room:
    """Room before storms: the mean and what nine storms in ten find at least.

    when : "year" or three months. storms : how many began.
    """

    when: str
    storms: int
    mean_l: float
    tenth_l: float


def storm_starts(rain_mm: FloatArray) -> NDArray[np.int64]:
    """Rows of the first day of each storm: rain worth counting after a dry day."""
    rule = table("storm_water")
    wet = rain_mm > 0.0
    gap = int(rule["dry between"].value)
    dry_before = np.ones(rain_mm.size, dtype=np.bool_)
    for back in range(1, gap + 1):
        dry_before[back:] &= ~wet[:-back]
    starts = dry_before & (rain_mm >= rule["storm begins"].value)
    return np.flatnonzero(starts)


def room_before_storms(
    level_l: FloatArray, usable_l: float, *, rain_mm: FloatArray, dates: DayArray
) -> tuple[Room, ...]:
    """Room at the start of each storm, over the year and by three months.

    level_l : of all tanks together in the evening of each day, shape (day,). The room a storm finds
    is that of the evening before.
    """
    starts = storm_starts(rain_mm)
    starts = starts[starts > 0]
    room = np.maximum(usable_l - level_l[starts - 1], 0.0)
    month = dates[starts].astype("datetime64[M]").astype(np.int64) % 12 + 1
    whole = [_room("year", room)] if room.size else []
    return (
        *whole,
        *(
            _room(name, room[at])
            for name, months in QUARTERS.items()
            if (at := np.isin(month, months)).any()
        ),
    )


def _room(when: str, room_l: FloatArray) -> Room:
    return Room(when, int(room_l.size), float(room_l.mean()), float(np.quantile(room_l, 0.1)))
