"""Money as low, typical and high."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Band:
    """An amount with its range."""

    low: float
    typical: float
    high: float

    def __add__(self, other: "Band") -> "Band":
        """Both together; the range is that of all low and all high at once."""
        return Band(self.low + other.low, self.typical + other.typical, self.high + other.high)

    def __sub__(self, other: "Band") -> "Band":
        """Without another that is part of it, each end without its own."""
        return Band(self.low - other.low, self.typical - other.typical, self.high - other.high)

    def times(self, number: float) -> "Band":
        """So many of it; the number is not negative."""
        return Band(self.low * number, self.typical * number, self.high * number)


NOTHING = Band(0.0, 0.0, 0.0)


def total(bands: Iterable[Band]) -> Band:
    """All together."""
    found = NOTHING
    for band in bands:
        found = found + band
    return found


def flat(amount: float) -> Band:
    """An amount without a range."""
    return Band(amount, amount, amount)
