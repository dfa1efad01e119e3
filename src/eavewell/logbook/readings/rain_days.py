"""Rain that was read after days without a reading, set on the day on which the tanks rose."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from eavewell.catchment.runoff import runoff_mm
from eavewell.logbook.kept import Times
from eavewell.logbook.readings.amounts import Amounts, is_long, of_one_day
from eavewell.logbook.readings.at_midnight import Held
from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.storage.series import drained_roofs
from eavewell.tables import table

# a change within so many times its error is none
_SURE = 2.0
_MIDSUMMER = 7


@dataclass(frozen=True, slots=True, eq=False)
class Rises:
    """How the tanks stood from one midnight to the next, all of them as one; shape (day,).

    change_l : what loads brought is taken off; nan unknown. sd_l : its standard error.
    room : True where no tank can have spilled unseen. usual_l : what the tanks fall in a day.
    """

    change_l: FloatArray
    sd_l: FloatArray
    room: NDArray[np.bool_]
    usual_l: float


def rises(tanks: Sequence[Tank], held: Sequence[Held], *, hauled_l: FloatArray) -> Rises:
    """Of the tanks that somebody reads; hauled_l of shape (day, tank)."""
    days = hauled_l.shape[0]
    read = [k for k, one in enumerate(held) if np.isfinite(one.held_l).any()]
    change, square, room = np.zeros(days), np.zeros(days), np.ones(days, dtype=bool)
    if not read:
        return Rises(np.full(days, np.nan), square, ~room, 0.0)
    for k in read:
        level, sd = (np.r_[one, np.nan] for one in (held[k].held_l, held[k].sd_l))
        change += np.diff(level) - hauled_l[:, k]
        square += sd[:-1] ** 2 + sd[1:] ** 2
        drawn = table("log_figures")["spike_use"].value * _usual_l(np.diff(level))
        room &= level[1:] + _SURE * sd[1:] + drawn < tanks[k].usable_l
    return Rises(change, np.sqrt(square), room, _usual_l(change))


def _usual_l(change_l: FloatArray) -> float:
    falls = -change_l[change_l < 0.0]
    return float(np.median(falls)) if falls.size else 0.0


def set_on_days(
    rain_mm: FloatArray, gathered: Amounts, *, midnights: Times, site: Site, risen: Rises
) -> FloatArray:
    """Rain of days, with what was gathered over many days on the one day on which the tanks rose.

    rain_mm : by the gauge, nan for the days of a long time, shape (day,). What brought the tanks
    nothing that would be seen counts for the day before it was read. Where the tanks rose on
    several days, or are not known, or may have spilled, the days on which they did stay unknown.
    """
    found, claimed = rain_mm.copy(), of_one_day(gathered, midnights)
    claimed[np.isfinite(rain_mm)] = 0.0
    for first, last, depth_mm in _long(gathered, midnights):
        day = slice(first, last + 1)
        change, sd = risen.change_l[day], risen.sd_l[day]
        if last >= rain_mm.size or not (np.isfinite(change).all() and risen.room[day].all()):
            continue
        rose = change > _SURE * sd
        quiet = ~rose & (_SURE * sd < np.min(change[rose], initial=np.inf))
        unseen_l = risen.usual_l + _SURE * float(np.median(sd))
        rows = np.arange(first, last + 1)
        at = rows[rose] if rose.any() else rows[-2:-1]
        if not rose.any() and _brings_l(site, depth_mm) > unseen_l:
            continue
        found[rows[quiet & np.isnan(found[day])]] = 0.0
        if at.size == 1:
            claimed[at[0]] += depth_mm
            found[at[0]] = np.nan_to_num(rain_mm[at[0]])
    return np.asarray(found + claimed)


def _long(gathered: Amounts, midnights: Times) -> Iterator[tuple[int, int, float]]:
    """First and last day of each time over which rain was gathered too long, and its depth."""
    rows = np.flatnonzero(is_long(gathered))
    for k in rows:
        ends = np.array([gathered.began_utc[k], gathered.ended_utc[k]])
        first, last = np.searchsorted(midnights, ends, side="right") - 1
        if first >= 0:
            yield int(first), int(last), float(gathered.amount[k])


def _brings_l(site: Site, depth_mm: float) -> float:
    """What the roofs send to the tanks of one rain after a dry time."""
    rain, month = np.array([depth_mm]), np.array([_MIDSUMMER])
    return sum(
        float(runoff_mm(roof, rain, months=month)[0]) * roof.plan_area_m2
        for roof in drained_roofs(site)
    )
