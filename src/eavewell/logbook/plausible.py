"""Figures that cannot be, or hardly: questioned, never refused."""

from collections.abc import Iterable, Sequence
from datetime import timedelta

import numpy as np
from numpy.typing import NDArray

from eavewell.faults import BadLog
from eavewell.logbook.figures import in_own_unit
from eavewell.logbook.gauged import levels, noise_m, strapping
from eavewell.logbook.gauges import gauges_of
from eavewell.logbook.kept import Kept, ManyReadings, Taken
from eavewell.logbook.meters import exchanges, metered
from eavewell.logbook.midnights import instant_of
from eavewell.logbook.most_between import (
    COUNTS_UP,
    Around,
    greatest_mm,
    most_between,
    most_passes_l_s,
)
from eavewell.logbook.questions import Question, first_of
from eavewell.site.gauge import Gauge
from eavewell.site.site import Site
from eavewell.tables import table

_MS_OF_MINUTE = 60_000.0
_MINUTES_OF_DAY = 1440.0
# figures above nothing that tell a counter from a gauge that is emptied
_ENOUGH = 24
# how far back the reading before the first is looked for
_BEFORE = timedelta(days=60)


def questions_on(
    site: Site,
    many: ManyReadings,
    *,
    kept: Kept | None = None,
    rain: Sequence[ManyReadings] = (),
) -> tuple[Question, ...]:
    """What is doubtful in readings of one gauge, in the order of time.

    A level below the floor or above the rim; a rise that rain on the roofs, loads and make-up could
    not bring; a fall that pumps and spill could not; a meter that falls or passes more than a meter
    can. kept : the log as it is, for the reading before the first, loads and rain. rain : readings
    of rain gauges that come with these. Where nobody measured rain, the greatest known is believed.
    """
    gauge = next((one for one in gauges_of(site) if one.name == many.gauge), None)
    if gauge is None or not many.count:
        return ()
    whole = _with_before(gauge, many, kept=kept)
    if gauge.measures in ("meter", "make-up") or _counts_rain(gauge):
        changed = exchanges(kept, gauge) if kept is not None else ()
        most = most_passes_l_s(site, gauge)
        return metered(whole, gauge, changed=changed, most_l_s=most).questions
    if gauge.measures == "level":
        around = Around(site, kept, tuple(rain))
        return _of_level(around, gauge, taken=whole)
    if gauge.measures == "rain":
        return tuple(_of_rain(gauge, whole))
    return ()


def _with_before(gauge: Gauge, many: ManyReadings, *, kept: Kept | None) -> Taken:
    """The readings after the last one before them."""
    order = np.argsort(many.at_utc, kind="stable")
    at, value = many.at_utc[order], many.value[order]
    if kept is not None:
        begun = instant_of(at[0])
        before = kept.readings(gauge.name, begun - _BEFORE, until=begun)
        at = np.r_[before.at_utc[-1:], at]
        value = np.r_[before.value[-1:], value]
    return Taken(at, value, np.arange(at.size))


def _of_level(around: Around, gauge: Gauge, *, taken: Taken) -> tuple[Question, ...]:
    try:
        tank = around.site.tank(gauge.of)
        found, noise, strapped = levels(gauge, taken.value), noise_m(gauge), strapping(tank)
    except (BadLog, KeyError):
        return ()
    out_m = table("log_figures")["outside"].value * noise
    low = found.level_m < -out_m
    high = found.level_m > strapped.depths_m[-1] + out_m
    asked = [
        *_asked(gauge, taken, where=low, why="is below the floor of the tank"),
        *_asked(gauge, taken, where=high, why="is above the rim of the tank"),
    ]
    good = np.flatnonzero(~low & ~high)
    if good.size < 2:
        return tuple(asked)
    held_l = strapped.held_l(found.level_m[good])
    slack_l = out_m * strapped.l_per_m(found.level_m[good], over_m=out_m)
    at, seen = taken.at_utc[good], ~found.at_least[good]
    rise_l, slack_l = np.diff(held_l), np.sqrt(2.0) * np.maximum(slack_l[1:], slack_l[:-1])
    both = seen[1:] & seen[:-1]
    may = most_between(around, tank, at=at, held_l=held_l[:-1])
    up = np.r_[False, both & (rise_l > may.fill_l + slack_l)]
    down = np.r_[False, both & (-rise_l > may.fall_l + slack_l)]
    placed = np.zeros((2, taken.count), dtype=bool)
    placed[0][good], placed[1][good] = up, down
    asked += _asked(
        gauge, taken, where=placed[0], why="is a rise that no rain, load or make-up explains"
    )
    asked += _asked(
        gauge, taken, where=placed[1], why="is a fall faster than pumps draw or an overflow spills"
    )
    return tuple(asked)


def _counts_rain(gauge: Gauge) -> bool:
    return gauge.measures == "rain" and gauge.how in COUNTS_UP


def _of_rain(gauge: Gauge, taken: Taken) -> Iterable[Question]:
    """More rain than any gauge has seen; less than none; a counter taken for a gauge."""
    if _seems_to_count(taken):
        says = (
            "Its figures stand still and rise between falls to nothing, as a counter's do; if it "
            'counts up, say how = "pulse counter" of it, else each is added as rain of its own.'
        )
        yield Question(gauge.name, says)
    yield from _asked(gauge, taken, where=taken.value < 0.0, why="is less rain than none")
    minutes = np.r_[_MINUTES_OF_DAY, np.diff(taken.at_utc).astype(np.int64) / _MS_OF_MINUTE]
    much = taken.value > greatest_mm(minutes)
    yield from _asked(gauge, taken, where=much, why="is more rain than is believed of such a time")


def _seems_to_count(taken: Taken) -> bool:
    """Most figures above nothing are the same as, or more than, the one before."""
    rained = taken.value[:-1] > 0.0
    steps = np.diff(taken.value)[rained]
    if steps.size < _ENOUGH:
        return False
    still, falls = (steps == 0.0).mean(), (steps < 0.0).mean()
    return bool(still > 0.5 and falls < 0.1)


def _asked(
    gauge: Gauge, taken: Taken, *, where: NDArray[np.bool_], why: str
) -> tuple[Question, ...]:
    def ask(k: int) -> Question:
        value, at = float(taken.value[k]), taken.at_utc[k]
        stamp = str(at)[:16].replace("T", " ")
        says = f"{in_own_unit(gauge, value)} at {stamp} UTC {why}."
        return Question(gauge.name, says, at_utc=at, value=value)

    return first_of(gauge.name, np.flatnonzero(where).tolist(), ask=ask)
