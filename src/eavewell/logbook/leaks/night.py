"""What runs by night: water past a meter, and a pump that starts while nobody draws."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo

import numpy as np
from numpy.typing import NDArray

from eavewell.logbook.kept import Taken
from eavewell.logbook.readings.midnights import local_date, zone_of
from eavewell.site.rain_record import FloatArray
from eavewell.tables import table

HOURS_A_DAY = 24.0
MS_AN_HOUR = 3.6e6
MS_A_MINUTE = 6e4


@dataclass(frozen=True, slots=True)
class NightFlow:
    """The least flow past a meter in each of the last nights, L/h.

    least_l_h : the middle of the nights' least. ran : nights on which it never stood still.
    step_l_h  : the least that its figures can show. runs : True where it ran on nearly all.
    """

    meter: str
    nights: int
    ran: int
    least_l_h: float
    step_l_h: float
    runs: bool

    @property
    def l_day(self) -> float:
        """What it comes to in a day."""
        return self.least_l_h * HOURS_A_DAY


@dataclass(frozen=True, slots=True)
class NightStarts:
    """How often a pump started by night, and in its busiest hour of all."""

    gauge: str
    hours: float
    starts_h: float
    most_starts_h: float


def night_flow(meter: str, taken: Taken, *, zone: str) -> NightFlow | None:
    """The least flow by night past a meter; None where it is not read often enough by night.

    taken : figures of its register or counter, L, rising but where it is set back.
    """
    figures = table("leaks")
    least, steps = [], []
    for at, value in _nights(taken, zone=zone):
        span = _spans(at, value, hours=figures["night span"].value / 2.0)
        if span is not None:
            least.append(float(span[0].min()))
            steps.append(span[1])
    least, steps = (some[-int(figures["nights"].value) :] for some in (least, steps))
    if len(least) < figures["nights"].low:
        return None
    ran = sum(one > 0.0 for one in least)
    runs = ran >= figures["nights that run"].value * len(least)
    return NightFlow(meter, len(least), ran, float(np.median(least)), float(np.median(steps)), runs)


def _spans(at_h: FloatArray, value: FloatArray, *, hours: float) -> tuple[FloatArray, float] | None:
    """Flows over stretches of at least so many hours, and the least flow their figures can show."""
    nights = table("leaks")
    if (
        at_h.size < 2
        or at_h[-1] - at_h[0] < nights["night span"].value
        or np.any(np.diff(value) < 0)
    ):
        return None
    end = np.searchsorted(at_h, at_h + hours, side="left")
    start = np.flatnonzero(end < at_h.size)
    if not start.size:
        return None
    lasted = at_h[end[start]] - at_h[start]
    steps = np.diff(value)
    step = float(steps[steps > 0.0].min()) if (steps > 0.0).any() else 0.0
    return (value[end[start]] - value[start]) / lasted, step / float(lasted.max())


def night_starts(gauge: str, taken: Taken, *, zone: str, middle_m: float) -> NightStarts | None:
    """Starts of a pump by the pressure behind it; None where the pressure is read too seldom.

    middle_m : head half way between cut-in and cut-out: each rise through it is a start.
    """
    apart = np.diff(taken.at_utc).astype("timedelta64[ms]").astype(float) / MS_A_MINUTE
    if apart.size < 2 or float(np.median(apart)) > table("leaks")["readings apart"].value:
        return None
    hours, starts = 0.0, 0
    for at, value in _nights(taken, zone=zone):
        hours += float(at[-1] - at[0])
        starts += _rises(value, middle_m)
    if hours < table("leaks")["night span"].value:
        return None
    rose = (taken.value[:-1] < middle_m) & (taken.value[1:] >= middle_m)
    hour = taken.at_utc[1:].astype("datetime64[h]")
    busiest = int(np.unique(hour[rose], return_counts=True)[1].max()) if rose.any() else 0
    return NightStarts(gauge, hours, starts / hours, float(busiest))


def _rises(value: FloatArray, middle: float) -> int:
    return int(((value[:-1] < middle) & (value[1:] >= middle)).sum())


def _nights(taken: Taken, *, zone: str) -> Iterator[tuple[FloatArray, FloatArray]]:
    """Readings of each night that has two or more: hours since its first, and the figures."""
    if taken.count < 2:
        return
    place, figures = zone_of(zone), table("leaks")
    day, last = local_date(taken.at_utc[0], zone), local_date(taken.at_utc[-1], zone)
    while day <= last:
        midnight = datetime.combine(day, datetime.min.time(), place)
        begins, ends = (
            _instant(midnight + timedelta(hours=figures[name].value), place)
            for name in ("night from", "night to")
        )
        inside = slice(*np.searchsorted(taken.at_utc, [begins, ends], side="left"))
        at: NDArray[np.datetime64] = taken.at_utc[inside]
        if at.size >= 2:
            yield (at - at[0]).astype(float) / MS_AN_HOUR, taken.value[inside]
        day += timedelta(days=1)


def _instant(local: datetime, place: tzinfo) -> np.datetime64:
    """An hour of the place's clock in universal time."""
    clock = local.replace(tzinfo=place)
    return np.datetime64(clock.astimezone(UTC).replace(tzinfo=None), "ms")
