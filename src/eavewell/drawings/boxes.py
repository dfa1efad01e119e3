"""Where words stand on paper: their boxes, and places that nothing else takes."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot, inf

import numpy as np

from eavewell.drawings.letters import Weight, width_mm
from eavewell.drawings.marks import Point, Text
from eavewell.drawings.straights import NONE, BoolArray, Straight, Straights
from eavewell.site.rain_record import FloatArray

# a line of letters reaches below its base line by a descender, and a little over its capitals
BELOW, ABOVE = 0.32, 1.12
_STEPS = 24
_HALVES = (-1.0, -0.5, 0.0, 0.5, 1.0)
_RING, _ACROSS, _UP = np.array(
    [
        (ring, across, up)
        for ring in range(1, _STEPS)
        for across in _HALVES
        for up in _HALVES
        if max(abs(across), abs(up)) == 1.0
    ]
).T
_GAP = 0.6
# places looked at together: the first few rings
_AT_ONCE = 65
# a lead that crosses something, or runs along a line, is as bad as one that is so much longer
OVER_LINE_MM, OVER_LEAD_MM, OVER_WORDS_MM, ALONG_MM = 4.0, 40.0, 90.0, 40.0
NEAR_MM, SIGN_MM = 0.4, 7.0
OFF_TIP_MM = 0.8
# words side by side would else read as one
ASIDE_MM = 1.6


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

    def holds(self, point: Point) -> bool:
        """Whether a point lies in it."""
        return self.left <= point[0] <= self.right and self.low <= point[1] <= self.high

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
    """What stands on a sheet already: boxes of words, straight pieces of line work and of leads."""

    boxes: tuple[Box, ...]
    lines: Straights
    leads: Straights = NONE

    def holds(self, box: Box, *, gap: float) -> bool:
        """Whether a box would stand on any of it."""
        one = np.array([[box.left], [box.low], [box.right], [box.high]])
        return bool(self.hold(one, gap=gap)[0])

    def hold(self, boxes: FloatArray, *, gap: float) -> BoolArray:
        """Which of many boxes would; left, low, right, high of each, shape (4, box)."""
        wider = boxes + np.array([[-gap], [-gap], [gap], [gap]])
        words = np.array([(one.left, one.low, one.right, one.high) for one in self.boxes])
        left, low, right, high = words.reshape(-1, 4).T
        across = (boxes[0, :, None] - ASIDE_MM < right) & (left < boxes[2, :, None] + ASIDE_MM)
        up = (wider[1, :, None] < high) & (low < wider[3, :, None])
        held: BoolArray = (across & up).any(axis=1)
        return held | self.lines.with_others(self.leads).through(wider)

    def crossed(self, start: Point, end: Point) -> Iterator[float]:
        """What a lead costs by crossing things, as mm of way: words most, then other leads."""
        (x0, y0), (x1, y1) = start, end
        long = hypot(x1 - x0, y1 - y0)
        if long <= OFF_TIP_MM:
            return
        share = OFF_TIP_MM / long  # the tip stands on a line of its own thing
        begin = (x0 + share * (x1 - x0), y0 + share * (y1 - y0))
        yield OVER_WORDS_MM * sum(one.crossed_by(begin, end) for one in self.boxes)
        yield OVER_LEAD_MM * self.leads.crossings(begin, end)
        yield OVER_LINE_MM * self.lines.crossings(begin, end)
        middle = ((begin[0] + end[0]) / 2.0, (begin[1] + end[1]) / 2.0)
        under = self.lines.holding(middle, within_mm=NEAR_MM).holding(begin, within_mm=NEAR_MM)
        yield ALONG_MM if under.longer_than(SIGN_MM).count else 0.0


def near(point: Point, line: Straight) -> bool:
    """Whether a point lies on a straight piece, or so near that a lead there would not be seen."""
    return Straights.of([line]).holding(point, within_mm=NEAR_MM).count > 0


def meet(one: Straight, other: Straight) -> bool:
    """Whether two straight pieces cross."""
    return Straights.of([other]).crossings(*one) > 0


def free_place(
    tip: Point, size: Point, *, taken: Taken, within: Box, level: bool = False
) -> Box | None:
    """The free place for a box of that width and height that is best led to; None where none is.

    Best is nearest to the tip, where every line, lead or word crossed counts as a longer way.
    level : whether words that stand higher or lower than the tip are the worse for it.
    """
    best, least = None, inf
    for away, box in _free_around(tip, size, taken=taken, within=within):
        if away >= least:
            break
        cost = away + (abs((box.low + box.high) / 2.0 - tip[1]) if level else 0.0)
        over = 0.0
        for more in () if box.holds(tip) else taken.crossed(tip, foot_of(box, tip)):
            over += more
            if cost + over >= least:
                break
        if cost + over < least:
            best, least = box, cost + over
    return best


def foot_of(box: Box, tip: Point) -> Point:
    """Where a leader meets its words: the middle of the nearer side."""
    middle = (box.low + box.high) / 2.0
    if tip[0] < box.left:
        return box.left - 0.4, middle
    if tip[0] > box.right:
        return box.right + 0.4, middle
    return min(max(tip[0], box.left), box.right), (box.low if tip[1] < box.low else box.high)


def _free_around(
    tip: Point, size: Point, *, taken: Taken, within: Box
) -> Iterator[tuple[float, Box]]:
    """Places round the tip that nothing takes, nearest first, each with how far away it is."""
    boxes, off = _around(tip, size)
    for begin in range(0, off.size, _AT_ONCE):
        some = boxes[:, begin : begin + _AT_ONCE]
        free = ~taken.hold(some, gap=_GAP)
        for row in np.flatnonzero(free).tolist():
            box = Box(*some[:, row].tolist())
            if box.within(within):
                yield float(off[begin + row]), box


def _around(tip: Point, size: Point) -> tuple[FloatArray, FloatArray]:
    """Places on the tip and in rings round it, (4, place), nearest first; how far away each is."""
    (x, y), (wide, high) = tip, size
    away = _RING * max(high * 1.2, 2.0)
    left = np.append(x - wide / 2.0, x + _ACROSS * away * 1.6 - (wide / 2.0) * (1.0 - _ACROSS))
    low = np.append(y - high / 2.0, y + _UP * away - high / 2.0)
    boxes = np.array([left, low, left + wide, low + high])
    off = np.hypot(np.clip(x, left, boxes[2]) - x, np.clip(y, low, boxes[3]) - y)
    order = np.argsort(off, kind="stable")
    return boxes[:, order], off[order]


def pieces(points: Sequence[Point], *, closed: bool = False) -> list[tuple[Point, Point]]:
    """The straight pieces of a line through points."""
    whole = [*points, points[0]] if closed and points else list(points)
    return list(pairwise(whole))
