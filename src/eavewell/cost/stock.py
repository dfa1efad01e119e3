"""Lengths as they are cut from stock: which cut comes from which piece."""

import math
from collections.abc import Iterable
from functools import cache

from eavewell.faults import OutOfRange
from eavewell.tables import table

Piece = tuple[float, ...]


@cache
def stock_of(name: str) -> float:
    """A figure of tables/stock.csv."""
    return table("stock")[name].value


def split(length_m: float, stock_m: float) -> tuple[float, ...]:
    """A run as whole stock lengths and what is left; nothing is longer than the stock."""
    if length_m < 0.0 or stock_m <= 0.0:
        raise OutOfRange("A run has a length, and so has the stock it is cut from.")
    whole = math.floor(length_m / stock_m + 1e-9)
    rest = length_m - whole * stock_m
    return (stock_m,) * whole + ((rest,) if rest > 1e-6 * stock_m else ())


def cut(lengths_m: Iterable[float], stock_m: float) -> tuple[Piece, ...]:
    """Which cuts come from which stock length: longest first, each into the first that holds it.

    lengths_m : none longer than the stock; the saw takes its share between two cuts. Raises
    OutOfRange for a cut that no piece holds.
    """
    pieces: list[list[float]] = []
    saw_m = stock_of("saw")
    for length_m in sorted(lengths_m, reverse=True):
        if length_m > stock_m * (1.0 + 1e-9):
            raise OutOfRange(f"A cut of {length_m:g} m is longer than the stock of {stock_m:g} m.")
        holds = (piece for piece in pieces if sum(piece) + len(piece) * saw_m + length_m <= stock_m)
        first = next(holds, None)
        if first is None:
            pieces.append([length_m])
        else:
            first.append(length_m)
    return tuple(tuple(piece) for piece in pieces)


def joints(length_m: float, stock_m: float) -> int:
    """Joints in one run of stock lengths."""
    return max(len(split(length_m, stock_m)) - 1, 0)


def spaced(length_m: float, apart_m: float) -> int:
    """Hangers or straps on one run: one at each end and no two further apart."""
    return math.ceil(length_m / apart_m - 1e-9) + 1
