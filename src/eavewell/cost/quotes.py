"""What a price book says a part of some size costs."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from eavewell.cost.band import Band
from eavewell.site.money import Price, PriceBook

Shelf = Mapping[str, tuple[Price, ...]]


@dataclass(frozen=True, slots=True)
class Quote:
    """The price of one unit of a part.

    life_years : until it is replaced; None for as long as the system. stretched : True where the
    size lies beyond the sizes of the book. source, year : of the row nearest in size.
    """

    each: Band
    life_years: float | None
    year: int
    source: str
    stretched: bool = False


def quote(shelf: Shelf, part: str, *, size: float | None = None) -> Quote | None:
    """The price of a part; None where the book has none.

    Between two sizes straight on logarithms; below the smallest that one's price; above the
    largest in proportion to the size. Without a size the middle one of its sizes; for a part
    without sizes its first row.
    """
    priced = shelf.get(part)
    if not priced:
        return None
    sized = sorted((row for row in priced if row.size), key=lambda row: row.size or 0.0)
    if size is None or size <= 0.0 or not sized or priced[0].size is None:
        return _of(priced[0] if priced[0].size is None else sized[len(sized) // 2])
    below = [row for row in sized if (row.size or 0.0) <= size]
    above = [row for row in sized if (row.size or 0.0) >= size]
    if not below:
        return _of(above[0], stretched=True)
    if not above:
        last = below[-1]
        return _of(last, times=size / (last.size or size), stretched=True)
    return _between(below[-1], above[0], size=size)


def shelved(book: PriceBook) -> Shelf:
    """The rows of a price book by part."""
    found: dict[str, list[Price]] = {}
    for row in book.prices:
        found.setdefault(row.part, []).append(row)
    return {part: tuple(rows) for part, rows in found.items()}


def _of(row: Price, *, times: float = 1.0, stretched: bool = False) -> Quote:
    band = Band(row.low, row.typical, row.high).times(times)
    return Quote(band, row.life_years, row.year, row.source, stretched)


def _between(small: Price, large: Price, *, size: float) -> Quote:
    if small.size == large.size or not small.size or not large.size:
        return _of(small)
    along = math.log(size / small.size) / math.log(large.size / small.size)

    def at(cost: Callable[[Price], float]) -> float:
        one, other = cost(small), cost(large)
        if one <= 0.0 or other <= 0.0:
            return one + along * (other - one)
        return math.exp(math.log(one) + along * (math.log(other) - math.log(one)))

    band = Band(at(lambda row: row.low), at(lambda row: row.typical), at(lambda row: row.high))
    near = small if along < 0.5 else large
    return Quote(band, near.life_years, near.year, near.source)
