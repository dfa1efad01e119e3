"""The choices that no other beats."""

import numpy as np
from numpy.typing import NDArray

from eavewell.site.rain_record import FloatArray


def front(cost: FloatArray, good: FloatArray) -> tuple[int, ...]:
    """Choices that no other beats: cheaper and at least as good, or as cheap and better.

    cost, good : of each choice; of equal ones the first stands. Returned by rising cost.
    """
    order = np.lexsort((np.arange(cost.size), -good, cost))
    best = np.maximum.accumulate(np.concatenate(([-np.inf], good[order])))
    return tuple(int(at) for at in order[good[order] > best[:-1]])


def thinned(found: tuple[int, ...], most: int) -> tuple[int, ...]:
    """At most so many of a front, its ends among them."""
    if len(found) <= most:
        return found
    kept: NDArray[np.int64] = np.unique(np.linspace(0, len(found) - 1, most).round().astype(int))
    return tuple(found[at] for at in kept)
