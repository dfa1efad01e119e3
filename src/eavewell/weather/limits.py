"""The range a method's source states, and the refusal to go beyond it."""

import numpy as np
from numpy.typing import ArrayLike

from eavewell.faults import Fault, OutOfRange
from eavewell.site.rain_record import FloatArray


def figures(values: ArrayLike) -> FloatArray:
    """Take single values, lists or arrays alike, as an array."""
    return np.asarray(values, dtype=np.float64)


def outside(what: str, values: ArrayLike, *, low: float, high: float, unit: str) -> list[Fault]:
    """Name the first value outside low to high, both allowed; missing values (NaN) pass.

    what : the quantity in trade words, as the sentence shows it.
    """
    given = np.atleast_1d(figures(values))
    wrong = given[(given < low) | (given > high)]
    if not wrong.size:
        return []
    return [Fault(f"{what} {wrong[0]:g} {unit} lies outside {low:g} to {high:g} {unit}.")]


def crossed(tmax_c: ArrayLike, tmin_c: ArrayLike) -> list[Fault]:
    """Name the first day whose coldest is warmer than its warmest."""
    warmest, coldest = np.broadcast_arrays(np.atleast_1d(figures(tmax_c)), figures(tmin_c))
    wrong = np.flatnonzero(coldest > warmest)
    if not wrong.size:
        return []
    first = wrong[0]
    return [
        Fault(
            f"the day's coldest, {coldest[first]:g} C, is warmer than its warmest, "
            f"{warmest[first]:g} C; are the two columns exchanged?"
        )
    ]


def refuse(*found: list[Fault]) -> None:
    """Raise OutOfRange with every fault in the lists; do nothing where all are empty."""
    faults = [fault for part in found for fault in part]
    if faults:
        raise OutOfRange(faults)
