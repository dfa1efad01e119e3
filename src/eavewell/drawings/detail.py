"""One detail of a sheet, in metres at its true size unless it says that it is not to scale."""

from collections.abc import Iterator
from dataclasses import dataclass

from eavewell.drawings.marks import Dimension, Hatch, Mark, Point, Stroke
from eavewell.drawings.pieces import box, filled
from eavewell.site.place import Show
from eavewell.units import show

SOIL_M = 0.12


@dataclass(frozen=True, slots=True)
class Detail:
    """A small drawing with what must be said beside it; scaled False : not to scale."""

    title: str
    marks: tuple[Mark, ...]
    notes: tuple[str, ...] = ()
    scaled: bool = True


def soil(left: float, right: float, *, at: float = 0.0, deep: float = SOIL_M) -> Iterator[Mark]:
    """The ground with its line."""
    yield Hatch("ground", filled(left, at - deep, right=right, high=at), "soil", "ground")
    yield Stroke("ground", ((left, at), (right, at)), of="ground")


def tube(points: tuple[Point, ...], bore_m: float, *, layer: str, of: str) -> Iterator[Mark]:
    """An upright or level pipe by its two walls, from the first point to the last."""
    (x0, y0), (x1, y1) = points[0], points[-1]
    half = bore_m / 2.0
    if abs(x1 - x0) < abs(y1 - y0):
        yield Stroke(layer, ((x0 - half, y0), (x1 - half, y1)), of=of)
        yield Stroke(layer, ((x0 + half, y0), (x1 + half, y1)), of=of)
    else:
        yield Stroke(layer, ((x0, y0 - half), (x1, y1 - half)), of=of)
        yield Stroke(layer, ((x0, y0 + half), (x1, y1 + half)), of=of)


def measured(start: Point, end: Point, *, system: Show, off_mm: float = 6.0) -> Dimension:
    """A distance with its figure in the measures of the site."""
    far = ((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5
    return Dimension("dimension", start, end, show(far, "length", system=system), off_mm)


def solid(
    layer: str, left: float, *, low: float, right: float, high: float, of: str
) -> Iterator[Mark]:
    """A cut body with its outline."""
    yield Hatch(layer, filled(left, low, right=right, high=high), "cut", of)
    yield box(layer, left, low=low, right=right, high=high, of=of)
