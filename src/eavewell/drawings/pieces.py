"""Pieces of a section: what is drawn of one thing, how wide it is, and where pipes meet it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from eavewell.drawings.marks import (
    Arc,
    Dimension,
    Hatch,
    Leader,
    LevelMark,
    Mark,
    Point,
    Stroke,
    Symbol,
    Text,
)
from eavewell.site.place import Show
from eavewell.tables import texts
from eavewell.units import show

WORDS = texts.words("sheets")


@dataclass(frozen=True, slots=True)
class Piece:
    """Marks from x_m to x_m + width; ports : where pipes meet it, by name.

    ground_m : level of the ground under it; None where it is the site's.
    """

    marks: tuple[Mark, ...]
    width_m: float
    ports: Mapping[str, Point] = field(default_factory=dict)
    ground_m: float | None = None
    x_m: float = 0.0

    def at(self, x_m: float) -> "Piece":
        """The same piece standing at another place."""
        ports = {name: (x + x_m, y) for name, (x, y) in self.ports.items()}
        marks = tuple(moved(mark, x_m) for mark in self.marks)
        return replace(self, marks=marks, ports=ports, x_m=self.x_m + x_m)


def moved(mark: Mark, x_m: float) -> Mark:
    """A mark shifted to the right."""
    if isinstance(mark, Stroke | Hatch):
        return replace(mark, points=tuple((x + x_m, y) for x, y in mark.points))
    if isinstance(mark, Arc):
        return replace(mark, centre=(mark.centre[0] + x_m, mark.centre[1]))
    if isinstance(mark, Dimension):
        start, end = ((x + x_m, y) for x, y in (mark.start, mark.end))
        return replace(mark, start=start, end=end)
    if isinstance(mark, Leader):
        return replace(mark, tip=(mark.tip[0] + x_m, mark.tip[1]))
    return _at(mark, x_m)


def _at(mark: LevelMark | Symbol | Text, x_m: float) -> Mark:
    return replace(mark, at=(mark.at[0] + x_m, mark.at[1]))


def in_a_row(pieces: Iterable[Piece], gap_m: float) -> tuple[Piece, ...]:
    """Pieces from left to right with a gap between."""
    found, x_m = [], 0.0
    for piece in pieces:
        found.append(piece.at(x_m))
        x_m += piece.width_m + gap_m
    return tuple(found)


def level(at: Point, words: str, *, level_m: float | None, system: Show, of: str = "") -> LevelMark:
    """A level mark with its height in the site's units, or the word that it is unknown."""
    if level_m is None:
        return LevelMark(at, WORDS.say("pieces.level.level_unknown", words=words), None, of)
    return LevelMark(at, f"{words} {show(level_m, 'level', system=system)}", level_m, of)


def box(layer: str, left: float, *, low: float, right: float, high: float, of: str) -> Stroke:
    """An upright rectangle."""
    points = ((left, low), (left, high), (right, high), (right, low))
    return Stroke(layer, points, closed=True, of=of)


def filled(left: float, low: float, *, right: float, high: float) -> tuple[Point, ...]:
    """The corners of an upright rectangle."""
    return (left, low), (left, high), (right, high), (right, low)
