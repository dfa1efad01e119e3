"""The ground of a section: level at the tanks, up to a header on its slope, down to a trough."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from eavewell.drawings.marks import Hatch, Mark, Point, Stroke
from eavewell.drawings.pieces import Piece, level
from eavewell.site.site import Site

SOIL_M, BEYOND_M, FLAT_M = 0.5, 0.8, 0.4


@dataclass(frozen=True, slots=True)
class Row:
    """Every piece where it stands, by its name."""

    roofs: dict[str, Piece]
    stores: dict[str, Piece]
    lines: dict[str, Piece]

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """All of them, from the left."""
        all_pieces = (*self.roofs.values(), *self.stores.values(), *self.lines.values())
        return tuple(sorted(all_pieces, key=lambda piece: piece.x_m))


def known_or(known: float | None, otherwise: float) -> float:
    """A level where it is known, else one to draw at."""
    return otherwise if known is None else known


def ground(site: Site, row: Row) -> Iterator[Mark]:
    """Soil, its line, and its level."""
    surface = profile(site, row)
    lows = [run.low_m for run in site.runs if run.low_m is not None]
    floors = [tank.base_m for tank in site.tanks if tank.base_m is not None]
    low = min([*lows, *floors, *(y for _, y in surface)]) - SOIL_M
    corners = (*surface, (surface[-1][0], low), (surface[0][0], low))
    known = site.ground.level_m is not None
    yield Hatch("ground", corners, "soil", "ground")
    yield Stroke("ground" if known else "unknown", surface, of="ground")
    at = (surface[0][0] + 0.2, surface[0][1])
    yield level(at, "ground", level_m=site.ground.level_m, system=site.place.show, of="ground")


def profile(site: Site, row: Row) -> tuple[Point, ...]:
    """The surface from left to right; it slopes in the gaps between pieces."""
    here = known_or(site.ground.level_m, 0.0)
    points: list[Point] = [(-BEYOND_M, here)]
    for piece in row.pieces:
        y = known_or(piece.ground_m, here)
        y = here if abs(y - here) < FLAT_M else y
        points += [(piece.x_m, y), (piece.x_m + piece.width_m, y)]
    points.append((points[-1][0] + BEYOND_M, points[-1][1]))
    return tuple(points)


def surface_m(surface: tuple[Point, ...], x_m: float) -> float:
    """Level of the surface at a place."""
    for (left, low), (right, high) in pairwise(surface):
        if left <= x_m <= right and right > left:
            return low + (high - low) * (x_m - left) / (right - left)
    return surface[-1][1]
