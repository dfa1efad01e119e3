"""Outlines seen from above: areas, lengths, right angles, and whether one crosses itself."""

from collections.abc import Sequence
from itertools import combinations, pairwise
from math import acos, degrees, hypot

Corner = tuple[float, float]
Side = tuple[Corner, Corner]

RIGHT_WITHIN_DEG = 0.5


def shoelace(corners: Sequence[Corner]) -> float:
    """Area within corners given in order, in the square of their unit."""
    following = (*corners[1:], *corners[:1])
    return abs(sum(x * v - u * y for (x, y), (u, v) in zip(corners, following, strict=True))) / 2


def crossing(corners: Sequence[Corner]) -> str:
    """Where two sides that are not neighbours meet, in words; "" where none do."""
    count = len(corners)
    sides = sides_of(corners)
    for one, other in combinations(range(count), 2):
        neighbours = other - one == 1 or (one == 0 and other == count - 1)
        if not neighbours and _meet(sides[one], sides[other]):
            return f"between sides {one + 1} and {other + 1}"
    return ""


def sides_of(corners: Sequence[Corner]) -> tuple[Side, ...]:
    """The sides of a closed outline, the one back to its start last."""
    return tuple(zip(corners, (*corners[1:], *corners[:1]), strict=True))


def side_lengths(points: Sequence[Corner], *, closed: bool) -> tuple[float, ...]:
    """Length of each side, in the unit of the points."""
    sides = sides_of(points) if closed else pairwise(points)
    return tuple(hypot(end[0] - start[0], end[1] - start[1]) for start, end in sides)


def right_angles(corners: Sequence[Corner]) -> tuple[bool, ...]:
    """Whether the two sides at each corner of an outline stand square, within half a degree."""
    count = len(corners)
    return tuple(
        _is_right(corners[row], corners[row - 1], after=corners[(row + 1) % count])
        for row in range(count)
    )


def _is_right(at: Corner, before: Corner, *, after: Corner) -> bool:
    (ax, ay), (bx, by) = ((one[0] - at[0], one[1] - at[1]) for one in (before, after))
    size = hypot(ax, ay) * hypot(bx, by)
    if not size:
        return False
    return abs(degrees(acos(max(-1.0, min(1.0, (ax * bx + ay * by) / size)))) - 90.0) <= (
        RIGHT_WITHIN_DEG
    )


def _meet(one: Side, other: Side) -> bool:
    boxes_meet = all(
        max(min(one[0][axis], one[1][axis]), min(other[0][axis], other[1][axis]))
        <= min(max(one[0][axis], one[1][axis]), max(other[0][axis], other[1][axis]))
        for axis in (0, 1)
    )
    return boxes_meet and not _on_one_side(one, other) and not _on_one_side(other, one)


def _on_one_side(line: Side, ends: Side) -> bool:
    return _turn(line, ends[0]) * _turn(line, ends[1]) > 0


def _turn(side: Side, point: Corner) -> float:
    (x0, y0), (x1, y1) = side
    return (x1 - x0) * (point[1] - y0) - (y1 - y0) * (point[0] - x0)
