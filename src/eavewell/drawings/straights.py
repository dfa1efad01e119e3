"""Straight pieces of line work on paper, many at once: which are crossed, which lie near."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from eavewell.drawings.marks import Point
from eavewell.site.rain_record import FloatArray

Straight = tuple[Point, Point]
BoolArray = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Straights:
    """Straight pieces, mm from the lower left corner; each array has shape (piece,)."""

    x0: FloatArray
    y0: FloatArray
    x1: FloatArray
    y1: FloatArray

    @classmethod
    def of(cls, pieces: Iterable[Straight]) -> "Straights":
        """Pieces one by one as arrays."""
        ends = np.array([(*start, *end) for start, end in pieces], dtype=np.float64)
        return cls(*ends.reshape(-1, 4).T.copy())

    def with_others(self, others: "Straights") -> "Straights":
        """Them and some more."""
        names = ("x0", "y0", "x1", "y1")
        both = (np.concatenate([getattr(self, one), getattr(others, one)]) for one in names)
        return Straights(*both) if others.count else self

    def where(self, chosen: BoolArray) -> "Straights":
        """Some of them."""
        return Straights(self.x0[chosen], self.y0[chosen], self.x1[chosen], self.y1[chosen])

    def near(self, tip: Point, *, across_mm: float, up_mm: float) -> "Straights":
        """Those that reach into a rectangle round a point."""
        (x, y), low, high = tip, np.minimum, np.maximum
        return self.where(
            (low(self.x0, self.x1) - across_mm < x)
            & (x < high(self.x0, self.x1) + across_mm)
            & (low(self.y0, self.y1) - up_mm < y)
            & (y < high(self.y0, self.y1) + up_mm)
        )

    def through(self, boxes: FloatArray) -> BoolArray:
        """Through which of many upright rectangles any of them passes; Liang and Barsky's clipping.

        boxes : left, low, right, high of each, shape (4, box).
        """
        left, low, right, high = boxes[..., None]
        beyond = (np.maximum(self.x0, self.x1) <= left) | (np.minimum(self.x0, self.x1) >= right)
        beyond |= (np.maximum(self.y0, self.y1) <= low) | (np.minimum(self.y0, self.y1) >= high)
        box, piece = np.nonzero(~beyond)
        first, last, held = np.zeros(box.size), np.ones(box.size), boxes[:, box]
        for start, end, near, far in (
            (self.x0, self.x1, *held[::2]),
            (self.y0, self.y1, *held[1::2]),
        ):
            at, step = start[piece], (end - start)[piece]
            along = step == 0.0
            inside = (near < at) & (at < far)
            by = np.where(along, 1.0, step)
            sides = np.sort([(near - at) / by, (far - at) / by], axis=0)
            first = np.where(along, np.where(inside, first, 2.0), np.maximum(first, sides[0]))
            last = np.where(along, last, np.minimum(last, sides[1]))
        found = np.zeros(boxes.shape[1], dtype=np.bool_)
        found[box[first < last]] = True
        return found

    def crossings(self, start: Point, end: Point) -> int:
        """How many of them a straight line crosses."""
        (x0, y0), (x1, y1) = start, end
        one = (x1 - x0) * (self.y0 - y0) - (y1 - y0) * (self.x0 - x0)
        other = (x1 - x0) * (self.y1 - y0) - (y1 - y0) * (self.x1 - x0)
        parted = one * other < 0.0
        if not parted.any():
            return 0
        apart = self.where(parted)
        return int((apart._side(start) * apart._side(end) < 0.0).sum())

    def _side(self, point: Point) -> FloatArray:
        x, y = point
        return (self.x1 - self.x0) * (y - self.y0) - (self.y1 - self.y0) * (x - self.x0)

    def holding(self, point: Point, *, within_mm: float) -> "Straights":
        """Those on which a point lies, or from which it is less than so far away."""
        across, up = self.x1 - self.x0, self.y1 - self.y0
        long = across**2 + up**2
        along = (point[0] - self.x0) * across + (point[1] - self.y0) * up
        share = np.clip(along / np.where(long > 0.0, long, 1.0), 0.0, 1.0)
        x, y = self.x0 + share * across, self.y0 + share * up
        return self.where(np.hypot(point[0] - x, point[1] - y) < within_mm)

    def longer_than(self, least_mm: float) -> "Straights":
        """The long ones."""
        return self.where(np.hypot(self.x1 - self.x0, self.y1 - self.y0) > least_mm)

    @property
    def count(self) -> int:
        """Number of pieces."""
        return int(self.x0.size)


NONE = Straights.of(())
