"""The scales that drawings are made at, the view that fits a sheet at one, and its bar."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from eavewell.drawings.boxes import Box
from eavewell.drawings.marks import (
    Arc,
    Dimension,
    Hatch,
    Leader,
    Mark,
    Point,
    Stroke,
    Text,
    View,
)
from eavewell.site.place import Show
from eavewell.tables import rows
from eavewell.units import read

BAR_PARTS, BAR_HIGH_MM = 4, 1.8


@dataclass(frozen=True, slots=True)
class Scale:
    """A scale as it is called; mm_m : millimetres of paper for a metre. part_m : of its bar."""

    called: str
    mm_m: float
    part_m: float
    unit: str
    part: float


def scales(system: Show, table: str = "scales") -> tuple[Scale, ...]:
    """The usual scales of one table, the largest drawing first."""
    return tuple(
        Scale(
            row["called"],
            1000.0 / float(row["ratio"]),
            read(f"{row['bar']} {row['bar_unit']}", "length"),
            row["bar_unit"],
            float(row["bar"]),
        )
        for row in rows(table)
        if row["system"] == system
    )


def largest_scale(
    wide_m: float, high_m: float, *, room: Box, system: Show, table: str = "scales"
) -> Scale:
    """The largest usual scale at which that fits a room; the smallest where none does."""
    most = min(
        (room.right - room.left) / max(wide_m, 1e-3), (room.high - room.low) / max(high_m, 1e-3)
    )
    found = scales(system, table)
    return next((one for one in found if one.mm_m <= most), found[-1])


def view_in(name: str, marks: Sequence[Mark], *, room: Box, system: Show) -> tuple[View, Scale]:
    """Marks in the middle of a room at the largest usual scale."""
    seen = extent(marks)
    wide, high = seen.right - seen.left, seen.high - seen.low
    scale = largest_scale(wide, high, room=room, system=system)
    at = (
        (room.left + room.right - scale.mm_m * (seen.left + seen.right)) / 2.0,
        (room.low + room.high - scale.mm_m * (seen.low + seen.high)) / 2.0,
    )
    return View(name, tuple(marks), scale.mm_m, scale.mm_m, at), scale


def extent(marks: Sequence[Mark]) -> Box:
    """The box around every point of some marks; one metre where there is none."""
    points = [point for mark in marks for point in points_of(mark)] or [(0.0, 0.0), (1.0, 1.0)]
    across, up = [x for x, _ in points], [y for _, y in points]
    return Box(min(across), min(up), max(across), max(up))


def points_of(mark: Mark) -> tuple[Point, ...]:
    """The points between which a mark lies."""
    if isinstance(mark, Stroke | Hatch):
        return mark.points
    if isinstance(mark, Arc):
        (x, y), r = mark.centre, mark.radius
        return (x - r, y - r), (x + r, y + r)
    if isinstance(mark, Dimension):
        return mark.start, mark.end
    return (mark.tip,) if isinstance(mark, Leader) else (mark.at,)


def scale_bar(scale: Scale, *, at_mm: Point, layer: str = "frame") -> Iterator[Mark]:
    """A bar of four parts in millimetres of paper, every other one filled, with its figures."""
    x, y = at_mm
    for part in range(BAR_PARTS):
        left = x + part * scale.part_m * scale.mm_m
        right = left + scale.part_m * scale.mm_m
        corners = ((left, y), (left, y + BAR_HIGH_MM), (right, y + BAR_HIGH_MM), (right, y))
        yield Stroke(layer, corners, closed=True)
        if part % 2 == 0:
            middle = y + BAR_HIGH_MM / 2.0
            yield Stroke(layer, ((left, middle), (right, middle)))
        yield Text("text", (left, y + 2.6), f"{part * scale.part:g}", anchor="middle")
    end = x + BAR_PARTS * scale.part_m * scale.mm_m
    words = f"{BAR_PARTS * scale.part:g} {scale.unit}"
    yield Text("text", (end, y + 2.6), words, anchor="middle")
