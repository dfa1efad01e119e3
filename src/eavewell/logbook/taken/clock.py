"""Local times as instants: hours that come twice and hours that no clock shows."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import polars as pl
from numpy.typing import NDArray

from eavewell.logbook.kept import Times
from eavewell.logbook.readings.midnights import zone_of
from eavewell.weather.counted import counted

_DAY_MS = 86_400_000


@dataclass(frozen=True, slots=True, eq=False)
class Instants:
    """Instants in universal time, datetime64[ms], NaT for none, and what is to be said of them."""

    at_utc: Times
    notes: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()


def in_utc(local: Times, *, zone: str, groups: Sequence[NDArray[np.int64]]) -> Instants:
    """Local times of a zone in universal time.

    groups : rows of one gauge each, in the order of the file, which tells the two passes through
    an hour that comes twice. An hour that the clock skips is read as if it had not been moved.
    """
    zone_of(zone)
    if not zone or zone == "UTC":
        return Instants(local)
    first = _shifted(local, zone, ambiguous="earliest")
    second = _shifted(local, zone, ambiguous="latest")
    skipped = np.isnat(first) & ~np.isnat(local)
    twice = (first != second) & ~np.isnat(first)
    at_utc, open_rows = first.copy(), 0
    if twice.any():
        for rows in groups:
            onward = rows[::-1] if _runs_backward(local[rows]) else rows
            onward = onward[twice[onward]]
            open_rows += _by_order(local, second, rows=onward, at_utc=at_utc)
    if skipped.any():
        at_utc[skipped] = _unmoved(local[skipped], zone)
    return Instants(
        at_utc, _notes(local, skipped=skipped), _doubts(local, twice, open_rows=open_rows)
    )


def _shifted(local: Times, zone: str, *, ambiguous: Literal["earliest", "latest"]) -> Times:
    shifted = pl.Series(local).dt.replace_time_zone(zone, ambiguous=ambiguous, non_existent="null")
    return shifted.dt.convert_time_zone("UTC").dt.replace_time_zone(None).to_numpy()


def _unmoved(local: Times, zone: str) -> Times:
    """As the clock went a day before."""
    return _shifted(local - _DAY_MS, zone, ambiguous="earliest") + _DAY_MS


def _by_order(local: Times, second: Times, *, rows: NDArray[np.int64], at_utc: Times) -> int:
    """Put rows of the second pass right, rows running onward; how many could be of either.

    The second pass begins where the clock steps back, or shows a time again.
    """
    unsure, day = 0, local[rows].astype("datetime64[D]")
    for one in np.unique(day):
        these = rows[day == one]
        steps = np.diff(local[these].astype(np.int64))
        back = np.flatnonzero(steps < 0 if (steps < 0).any() else steps == 0)
        if back.size:
            later = these[int(back[0]) + 1 :]
            at_utc[later] = second[later]
        else:
            unsure += int(these.size)
    return unsure


def _runs_backward(times: Times) -> bool:
    steps = np.diff(times.astype(np.int64))
    return bool((steps < 0).sum() > (steps > 0).sum())


def _notes(local: Times, *, skipped: NDArray[np.bool_]) -> tuple[str, ...]:
    if not skipped.any():
        return ()
    first = str(local[skipped].min())[:16].replace("T", " ")
    return (
        f"{counted(int(skipped.sum()), 'time')} stood in an hour that the clock skips, first "
        f"{first}: taken as if the clock had not been moved. A logger that never moves its clock "
        "does this; then its other summer times are an hour late.",
    )


def _doubts(local: Times, twice: NDArray[np.bool_], *, open_rows: int) -> tuple[str, ...]:
    if not open_rows:
        return ()
    first = str(local[twice].min())[:16].replace("T", " ")
    return (
        f"{counted(open_rows, 'reading')} stood in an hour that comes twice and was read once, "
        f"first {first}: taken as the first of the two. Which was it?",
    )
