"""What all the years together say of one day: tenths of the level, chances, first days."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site

TENTHS = tuple(n / 10.0 for n in range(1, 10))
DRY, MIDDLE = 0.1, 0.5


@dataclass(frozen=True, slots=True)
class When:
    """The first day of something: in the driest tenth of years, and in the middle of them.

    chance : share of the years in which it comes at all within the run. None: not within the run.
    """

    dry_tenth: date | None
    middle: date | None
    chance: float


@dataclass(frozen=True, slots=True)
class NextStage:
    """The next ration stage of a use, or the one it is in.

    tanks : that it draws from.
    share, next_share : of its want that it gets now, and from the next stage on; None: no next.
    below_l : the next stage begins below this, above the dead storage, in its tanks together.
    """

    use: str
    tanks: tuple[str, ...]
    share: float
    next_share: float | None
    below_l: float | None
    when: When | None


def tenths_l(level_l: FloatArray) -> FloatArray:
    """The nine tenths of the years, driest first, (day, tenth); level_l (day, lane)."""
    ranked = np.sort(level_l, axis=1)  # quicker than to part it nine times
    at = np.array(TENTHS) * (ranked.shape[1] - 1)
    under = np.floor(at).astype(int)
    over, share = np.minimum(under + 1, ranked.shape[1] - 1), at - under
    found: FloatArray = ranked[:, under] * (1.0 - share) + ranked[:, over] * share
    return found


def first_days(is_so: NDArray[np.bool_]) -> FloatArray:
    """Row of the first day on which it is so, in each lane; infinite where it never is."""
    return np.where(is_so.any(axis=0), is_so.argmax(axis=0), np.inf)


def when(first: FloatArray, day: date) -> When:
    """The dry tenth and the middle of the first days; day : of row 0."""
    early, half = (_at(first, share) for share in (DRY, MIDDLE))
    return When(_date(early, day), _date(half, day), float(np.isfinite(first).mean()))


def _at(first: FloatArray, share: float) -> float:
    # As many lanes as the share says are there at the latest; nothing lies between two lanes.
    return float(np.quantile(first, share, method="inverted_cdf"))


def _date(row: float, day: date) -> date | None:
    return day + timedelta(days=int(row)) if np.isfinite(row) else None


def next_stages(
    site: Site, held_l: FloatArray, *, now_l: FloatArray, day: date
) -> tuple[NextStage, ...]:
    """The stage of every rationed use, and when the next one begins.

    held_l : (day, tank, lane), its row 0 the evening of `day`. now_l : (tank,).
    """
    of = {tank.name: n for n, tank in enumerate(site.tanks)}
    found = []
    for use in site.uses:
        at = [of[name] for name in use.draws_from]
        usable_l = sum(site.tanks[n].usable_l for n in at)
        ranked = [(stage.below.litres(usable_l), stage.share) for stage in use.stages]
        has = float(now_l[at].sum())
        share = min((share for below, share in ranked if has < below), default=1.0)
        ahead = [(below, less) for below, less in ranked if less < share and below <= has]
        if not ranked:
            continue
        below, less = max(ahead, default=(None, None))
        begins = None if below is None else held_l[:, at].sum(axis=1) < below
        dates = None if begins is None else when(first_days(begins), day)
        found.append(NextStage(use.name, use.draws_from, share, less, below, dates))
    return tuple(found)
