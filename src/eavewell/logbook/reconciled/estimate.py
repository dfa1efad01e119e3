"""A figure that a log found, with its range."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Estimate:
    """A figure with the range that 95 of 100 such logs would hold it in; days it rests on."""

    name: str
    value: float
    low: float
    high: float
    days: int

    @property
    def half(self) -> float:
        """Half its range."""
        return (self.high - self.low) / 2.0
