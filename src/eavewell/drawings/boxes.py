"""Where words stand on paper: their boxes, and places that nothing else takes."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from eavewell.drawings.letters import Weight, width_mm
from eavewell.drawings.marks import Point, Text

# a line of letters reaches below its base line by a descender, and a little over its capitals
BELOW, ABOVE = 0.32, 1.12
_STEPS = 24
_GAP = 0.6


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle, mm from the lower left corner of the sheet."""

    left: float
    low: float
    right: float
    high: float

    def meets(self, other: "Box", gap: float = 0.0) -> bool:
        """Whether two boxes come nearer to each other than a gap."""
        return (
            self.left < other.right + gap
            and other.left < self.right + gap
            and self.low < other.high + gap
            and other.low < self.high + gap
        )

    def within(self, other: "Box") -> bool:
        """Whether it lies wholly inside another."""
        return (
            self.left >= other.left
            and self.right <= other.right
            and self.low >= other.low
            and self.high <= other.high
        )

    def crossed_by(self, start: Point, end: Point) -> bool:
        """Whether a straight line passes through it; Liang and Barsky's clipping."""
        if self.misses(start, end):
            return False
        first, last = 0.0, 1.0
        for at, step, low, high in (
            (start[0], end[0] - start[0], self.left, self.right),
            (start[1], end[1] - start[1], self.low, self.high),
        ):
            if step == 0.0:
                if not low < at < high:
                    return False
                continue
            near, far = (low - at) / step, (high - at) / step
            if near > far:
                near, far = far, near
            first, last = max(first, near), min(last, far)
        return first < last

    def misses(self, start: Point, end: Point) -> bool:
        """Whether both ends lie beyond one and the same side of it, as most lines do."""
        (x0, y0), (x1, y1) = start, end
        return (
            (x0 <= self.left and x1 <= self.left)
            or (x0 >= self.right and x1 >= self.right)
            or (y0 <= self.low and y1 <= self.low)
            or (y0 >= self.high and y1 >= self.high)
        )


def box_of(text: Text, at_mm: Point) -> Box:
    """The box of an unturned or upright line of letters whose anchor stands there."""
    wide = width_mm(text.words, text.capital_mm, weight=weight_of(text))
    before = {"left": 0.0, "middle": 0.5, "right": 1.0}[text.anchor] * wide
    low, high = BELOW * text.capital_mm, ABOVE * text.capital_mm
    x, y = at_mm
    if abs(text.turned_deg) == 90.0:
        return Box(x - high, y - before, x + low, y - before + wide)
    return Box(x - before, y - low, x - before + wide, y + high)


def weight_of(text: Text) -> Weight:
    """The weight its letters are cut in."""
    return "Bold" if text.bold else "Medium"


def spread(wanted: Sequence[float], least_gap: float) -> list[float]:
    """Places along a line, each as near to where it is wanted as a least gap allows.

    Neighbours that would come too near share their distance evenly: pooled until none do.
    """
    order = sorted(range(len(wanted)), key=lambda at: wanted[at])
    pools: list[list[float]] = []
    for rank, at in enumerate(order):
        pools.append([wanted[at] - rank * least_gap, 1.0])
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            mean, count = pools.pop()
            pools[-1][0] = (pools[-1][0] * pools[-1][1] + mean * count) / (pools[-1][1] + count)
            pools[-1][1] += count
    starts = [mean for mean, count in pools for _ in range(int(count))]
    found = [0.0] * len(wanted)
    for rank, at in enumerate(order):
        found[at] = starts[rank] + rank * least_gap
    return found


@dataclass(frozen=True, slots=True)
class Taken:
    """What stands on a sheet already: boxes of words, and straight pieces of line work."""

    boxes: tuple[Box, ...]
    lines: tuple[tuple[Point, Point], ...]

    def holds(self, box: Box, *, gap: float) -> bool:
        """Whether a box would stand on any of it."""
        wider = Box(box.left - gap, box.low - gap, box.right + gap, box.high + gap)
        if any(wider.meets(one) for one in self.boxes):
            return True
        left, low, right, high = wider.left, wider.low, wider.right, wider.high
        for (x0, y0), (x1, y1) in self.lines:  # most lie to one side: told without a call
            if (x0 <= left and x1 <= left) or (x0 >= right and x1 >= right):
                continue
            if (y0 <= low and y1 <= low) or (y0 >= high and y1 >= high):
                continue
            if wider.crossed_by((x0, y0), (x1, y1)):
                return True
        return False

    def words_between(self, start: Point, end: Point) -> bool:
        """Whether a line would pass through words."""
        return any(one.crossed_by(start, end) for one in self.boxes)


def free_place(tip: Point, size: Point, *, taken: Taken, within: Box) -> Box | None:
    """The free place nearest to a tip for a box of that width and height; None where none is.

    Where every way to a free place leads through words, the nearest of those places.
    """
    behind_words = None
    for box in sorted(_around(tip, size), key=lambda box: _away(box, tip)):
        if box.within(within) and not taken.holds(box, gap=_GAP):
            if not taken.words_between(tip, foot_of(box, tip)):
                return box
            behind_words = behind_words or box
    return behind_words


def foot_of(box: Box, tip: Point) -> Point:
    """Where a leader meets its words: the middle of the nearer side."""
    middle = (box.low + box.high) / 2.0
    if tip[0] < box.left:
        return box.left - 0.4, middle
    if tip[0] > box.right:
        return box.right + 0.4, middle
    return min(max(tip[0], box.left), box.right), (box.low if tip[1] < box.low else box.high)


def _around(tip: Point, size: Point) -> Iterable[Box]:
    wide, high = size
    step = max(high * 1.2, 2.0)
    for ring in range(1, _STEPS):
        away = ring * step
        for across in (-1.0, -0.5, 0.0, 0.5, 1.0):
            for up in (-1.0, -0.5, 0.0, 0.5, 1.0):
                if max(abs(across), abs(up)) == 1.0:
                    x = tip[0] + across * away * 1.6 - (wide / 2.0) * (1.0 - across)
                    y = tip[1] + up * away - high / 2.0
                    yield Box(x, y, x + wide, y + high)


def _away(box: Box, tip: Point) -> float:
    x = min(max(tip[0], box.left), box.right)
    y = min(max(tip[1], box.low), box.high)
    return hypot(x - tip[0], y - tip[1])


def pieces(points: Sequence[Point], *, closed: bool = False) -> list[tuple[Point, Point]]:
    """The straight pieces of a line through points."""
    whole = [*points, points[0]] if closed and points else list(points)
    return list(pairwise(whole))
