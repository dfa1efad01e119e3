"""Registers and pulse counters: a figure that only rises becomes the use between two readings.

A figure that falls has gone past its last one, begun anew at nothing, belongs to another meter,
or is wrong. Where exactly one of these fits it is taken; else somebody is asked and the use in
between stays unknown.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum
from functools import partial

import numpy as np
from numpy.typing import NDArray

from eavewell.logbook.kept import Kept, Taken, Times
from eavewell.logbook.readings.figures import in_own_unit, scale_of
from eavewell.logbook.readings.midnights import said_at, stamp_of
from eavewell.logbook.readings.questions import Question, first_of
from eavewell.site.entry import Done
from eavewell.site.gauge import Gauge
from eavewell.site.rain_record import FloatArray
from eavewell.tables import table

# the task whose entry tells that a meter, its thing, was exchanged for another
NEW_METER = "change the meter"
_MS = 1000.0
# more falls that are no new beginnings than these, by number and by share: no counter at all
_SOME, _OF_ALL = 50, 0.05


class Way(IntEnum):
    """How the use between two readings was found."""

    PLAIN = 0
    WRAPPED = 1
    RESET = 2
    CHANGED = 3
    ASKED = 4


@dataclass(frozen=True, slots=True, eq=False)
class Metered:
    """What a meter counted between readings that were kept; all of shape (interval,).

    litres : nan where unknown; after a reset at least that much. ways : of Way.
    """

    began_utc: Times
    ended_utc: Times
    litres: FloatArray
    ways: NDArray[np.int8]
    questions: tuple[Question, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class _Figures:
    """Readings in seconds and litres, with what may pass in a time."""

    gauge: Gauge
    taken: Taken
    seconds: FloatArray
    span_l: float | None
    most_l_s: float
    mean_l_s: float

    def most_l(self, a: int, b: int) -> float:
        """More than this is not drawn between two readings without being asked."""
        figures, seconds = table("log_figures"), float(self.seconds[b] - self.seconds[a])
        burst = min(seconds, 3600.0 * figures["meter_burst"].value)
        usual = figures["meter_times_mean"].value * self.mean_l_s * seconds
        return min(self.most_l_s * seconds, self.most_l_s * burst + usual)

    def rises(self, a: int, b: int) -> bool:
        """Whether the figure rises from one reading to another by what may pass."""
        rise = float(self.taken.value[b] - self.taken.value[a])
        return 0.0 <= rise <= self.most_l(a, b)


def metered(
    taken: Taken,
    gauge: Gauge,
    *,
    changed: Sequence[np.datetime64] = (),
    most_l_s: float | None = None,
    zone: str = "",
) -> Metered:
    """Use between the readings of a register or pulse counter.

    changed : instants at which the meter was exchanged for another. most_l_s : most that may pass.
    zone : in which questions say the time.
    """
    figures = _figures(taken, gauge, most_l_s=most_l_s)
    kept = np.ones(taken.count, dtype=bool)
    said: dict[int, tuple[Way, float]] = {}
    asked: list[tuple[int, str]] = []
    for at in _exchanges(taken, changed):
        said[at] = (Way.CHANGED, np.nan)
    odd = _odd(figures)
    strange = [k for k in odd if not taken.value[k] < taken.value[k - 1] / 2.0]
    if len(strange) > max(_SOME, _OF_ALL * taken.count):
        return _no_counter(figures, odd)
    for k in odd:
        if k not in said and kept[k] and kept[k - 1]:
            _explain(figures, k, kept=kept, said=said, asked=asked)
    rows = np.flatnonzero(kept)
    litres = np.diff(taken.value[rows])
    ways = np.zeros(litres.size, dtype=np.int8)
    for k, (way, found_l) in said.items():
        place = int(np.searchsorted(rows, k)) - 1
        ways[place], litres[place] = way, found_l
    questions = first_of(gauge.name, asked, ask=partial(_question, figures, zone=zone))
    return Metered(taken.at_utc[rows][:-1], taken.at_utc[rows][1:], litres, ways, questions)


def _no_counter(figures: _Figures, odd: list[int]) -> Metered:
    """What falls again and again is no counter, and nobody is asked about each figure."""
    taken = figures.taken
    litres = np.diff(taken.value)
    ways = np.zeros(litres.size, dtype=np.int8)
    rows = np.array(odd) - 1
    litres[rows], ways[rows] = np.nan, Way.ASKED
    says = (
        f"Its figures fall or leap {len(odd):,} times: they do not count up as those of a meter. "
        "Is it one, and is its unit right?"
    )
    asked = (Question(figures.gauge.name, says),)
    return Metered(taken.at_utc[:-1], taken.at_utc[1:], litres, ways, asked)


def exchanges(kept: Kept, gauge: Gauge) -> tuple[np.datetime64, ...]:
    """When a meter was exchanged for another, by the entries that say so."""
    return tuple(
        stamp_of(done.at)
        for _, done in kept.entries("done")
        if isinstance(done, Done) and (done.task, done.thing) == (NEW_METER, gauge.name)
    )


def span_l(gauge: Gauge) -> float | None:
    """Water from 0 to 0 again on a counter, one step past its last figure; None unknown."""
    if gauge.wraps_at is None:
        return None
    decimals = len(f"{gauge.wraps_at:.6f}".rstrip("0").partition(".")[2])
    return (gauge.wraps_at + 10.0**-decimals) * l_per_figure(gauge)


def l_per_figure(gauge: Gauge) -> float:
    """Litres to one of the figures that stand on a meter."""
    scale = scale_of(gauge)
    return 1.0 if scale is None else scale.factor


def _figures(taken: Taken, gauge: Gauge, *, most_l_s: float | None) -> _Figures:
    seconds = taken.at_utc.astype(np.int64) / _MS
    rises, lengths = np.diff(taken.value), np.diff(seconds)
    most = table("log_figures")["meter_most"].value if most_l_s is None else most_l_s
    odd = (rises < 0.0) | (rises > most * lengths)
    # a rise beside an odd figure may be odd itself
    plain = ~(odd | np.r_[odd[1:], False] | np.r_[False, odd[:-1]])
    whole = float(lengths[plain].sum())
    mean = float(rises[plain].sum()) / whole if whole else 0.0
    return _Figures(gauge, taken, seconds, span_l(gauge), most, mean)


def _exchanges(taken: Taken, changed: Sequence[np.datetime64]) -> list[int]:
    """Rows of the first readings of new meters."""
    after = [int(np.searchsorted(taken.at_utc, at, side="right")) for at in changed]
    return sorted({row for row in after if 0 < row < taken.count})


def _odd(figures: _Figures) -> list[int]:
    """Rows at which the figure falls, or rises by more than can pass."""
    rises = np.diff(figures.taken.value)
    odd = (rises < 0.0) | (rises > figures.most_l_s * np.diff(figures.seconds))
    return [int(row) + 1 for row in np.flatnonzero(odd)]


def _explain(
    figures: _Figures,
    k: int,
    *,
    kept: NDArray[np.bool_],
    said: dict[int, tuple[Way, float]],
    asked: list[tuple[int, str]],
) -> None:
    """Find the one thing that explains a figure, or ask."""
    before, after = k - 2, k + 1
    last = after >= figures.taken.count
    low_is_wrong = not last and figures.rises(k - 1, after)
    high_is_wrong = before >= 0 and k - 1 not in said and bool(kept[before])
    high_is_wrong = high_is_wrong and figures.rises(before, k)
    wrapped_l = _wrapped_l(figures, k)
    reset = _is_reset(figures, k, last=last)
    if wrapped_l is not None and not low_is_wrong:
        said[k] = (Way.WRAPPED, wrapped_l)
    elif low_is_wrong and high_is_wrong:
        kept[k] = kept[k - 1] = False
        said[after] = (Way.ASKED, float(figures.taken.value[after] - figures.taken.value[before]))
        asked.append((k, "may have changed places with the one before it."))
    elif low_is_wrong and not reset:
        kept[k] = False
        asked.append((k, "is left out, as the next goes on from the one before."))
    elif reset and not low_is_wrong:
        said[k] = (Way.RESET, float(figures.taken.value[k]))
    elif high_is_wrong and not reset:
        kept[k - 1] = False
        asked.append((k - 1, "is left out, as the next goes on from below it."))
    else:
        said[k] = (Way.ASKED, np.nan)
        asked.append((k, "does not follow from the one before; what is right?"))


def _wrapped_l(figures: _Figures, k: int) -> float | None:
    """Use where the counter went past its last figure; None where that cannot be."""
    if figures.span_l is None:
        return None
    past_l = float(figures.taken.value[k] - figures.taken.value[k - 1]) + figures.span_l
    falls = figures.taken.value[k] < figures.taken.value[k - 1]
    near = figures.taken.value[k - 1] >= figures.span_l - figures.most_l(k - 1, k)
    return past_l if falls and near and 0.0 <= past_l <= figures.most_l(k - 1, k) else None


def _is_reset(figures: _Figures, k: int, *, last: bool) -> bool:
    """Whether the counter began anew at nothing: a small figure, from which it goes on."""
    value, before = figures.taken.value[k], figures.taken.value[k - 1]
    small = 0.0 <= value <= min(figures.most_l(k - 1, k), before / 2.0)
    return bool(small) and (
        last or figures.rises(k, k + 1) or bool(figures.taken.value[k + 1] < value)
    )


def _question(figures: _Figures, doubt: tuple[int, str], *, zone: str) -> Question:
    k, why = doubt
    value, at = float(figures.taken.value[k]), figures.taken.at_utc[k]
    says = f"{in_own_unit(figures.gauge, value)} at {said_at(at, zone)} {why}"
    return Question(figures.gauge.name, says, at_utc=at, value=value)
