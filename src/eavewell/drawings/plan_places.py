"""Where things stand on a plan: what the site file states is kept, the rest is arranged.

Buildings stand side by side with their lower walls on y = 0, tanks below them.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from math import sqrt

from eavewell.drawings.boxes import Box
from eavewell.drawings.marks import Point
from eavewell.drawings.section_stores import MOST_DRAWN, UNKNOWN_M, width_m
from eavewell.drawings.tags import stores_in_order
from eavewell.site.roof import Plane, Roof
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import Box as BoxTank
from eavewell.site.tank_shape import HorizontalCylinder, StrappingTable
from eavewell.site.traced import Tree

PROPERTY_LINE = "property line"
BUILDINGS = ("building", "house", "wall", "footing")
LONGER_SIDE, AREA_AGREES = 1.5, 0.01
LEAST_M, MOST_M, SHARE = 1.0, 4.0, 0.15


@dataclass(frozen=True, slots=True)
class Ground:
    """One plane of a roof where it lies; known : whether its shape is."""

    plane: Plane
    corners: tuple[Point, ...]
    known: bool

    @property
    def box(self) -> Box:
        """The box around it."""
        return around(self.corners)


@dataclass(frozen=True, slots=True)
class Stand:
    """A store where it stands.

    boxes : around each tank drawn. stated : names of the distances by which it was placed.
    """

    tank: Tank
    boxes: tuple[Box, ...]
    stated: tuple[str, ...]

    @property
    def box(self) -> Box:
        """The box around the row."""
        corners = [(one.left, one.low) for one in self.boxes]
        return around((*corners, *((one.right, one.high) for one in self.boxes)))

    @property
    def round(self) -> bool:
        """Whether it is a circle seen from above."""
        return not isinstance(self.tank.shape, BoxTank | HorizontalCylinder)

    def wall(self, at: int, x: float, *, above: bool) -> Point:
        """Where a pipe meets a tank of the row from above or from below, at that x."""
        one = self.boxes[at]
        if not self.round:
            return x, one.high if above else one.low
        radius, middle = (one.right - one.left) / 2.0, (one.low + one.high) / 2.0
        aside = x - (one.left + one.right) / 2.0
        up = sqrt(max(radius**2 - aside**2, 0.0))
        return x, middle + (up if above else -up)

    @property
    def known(self) -> bool:
        """Whether its size is."""
        return self.tank.shape is not None and not isinstance(self.tank.shape, StrappingTable)


@dataclass(frozen=True, slots=True)
class Places:
    """Everything that has a place; property_m : y of the property line, None unknown.

    property_way, ways, trees, north_deg : as they were set out, pipes by name; none where not.
    """

    roofs: dict[str, tuple[Ground, ...]]
    stores: dict[str, Stand]
    property_m: float | None
    gap_m: float
    property_way: tuple[Point, ...] = ()
    ways: dict[str, tuple[Point, ...]] = field(default_factory=dict)
    trees: tuple[Tree, ...] = ()
    north_deg: float | None = None

    def roof(self, name: str) -> Box:
        """The box around a whole roof."""
        return around([corner for one in self.roofs[name] for corner in one.corners])

    @property
    def buildings(self) -> Box:
        """The box around all of them."""
        grounds = [corner for one in self.roofs.values() for two in one for corner in two.corners]
        return around(grounds or [(0.0, 0.0), (1.0, 1.0)])


def places(site: Site) -> Places:
    """Arrange a site."""
    roofs, gap_m = _roofs(site)
    stores = stores_in_order(site)
    property_m = _property_m(stores, gap_m=gap_m, roofs=site.roofs)
    placed: dict[str, Stand] = {}
    left = 0.0
    for tank in stores:
        stand = _stand(tank, left, high=_top_m(tank, site.roofs, gap_m=gap_m, line_m=property_m))
        placed[tank.name] = stand
        left = stand.box.right + 1.5 * gap_m
    return Places(roofs, placed, property_m, gap_m)


def _roofs(site: Site) -> tuple[dict[str, tuple[Ground, ...]], float]:
    shapes = [[_shape(plane) for plane in roof.planes] for roof in site.roofs]
    boxes = [around(corners) for roof in shapes for corners, _ in roof]
    widest = max((one.right - one.left for one in boxes), default=6.0)
    gap_m = min(max(SHARE * widest, LEAST_M), MOST_M)
    found: dict[str, tuple[Ground, ...]] = {}
    left = 0.0
    for roof, planes in zip(site.roofs, shapes, strict=True):
        found[roof.name] = _stacked(roof, planes, left=left)
        corners = [corner for one in found[roof.name] for corner in one.corners]
        left = (around(corners).right if corners else left) + 2.0 * gap_m
    return found, gap_m


def _stacked(
    roof: Roof, planes: list[tuple[tuple[Point, ...], bool]], *, left: float
) -> tuple[Ground, ...]:
    """Planes one on the other, the first on top."""
    found: list[Ground] = []
    low = 0.0
    for plane, (corners, known) in reversed(list(zip(roof.planes, planes, strict=True))):
        moved = tuple((x + left, y + low) for x, y in corners)
        found.append(Ground(plane, moved, known))
        low = around(moved).high
    return tuple(reversed(found))


def _shape(plane: Plane) -> tuple[tuple[Point, ...], bool]:
    """Its corners from its lower left; a rectangle of its area where its shape is unknown."""
    if plane.outline and _agrees(plane):
        box = around(plane.outline)
        return tuple((x - box.left, y - box.low) for x, y in plane.outline), True
    up = sqrt(max(plane.plan_area_m2, 1e-6) / LONGER_SIDE)
    across = LONGER_SIDE * up
    return ((0.0, 0.0), (across, 0.0), (across, up), (0.0, up)), False


def _agrees(plane: Plane) -> bool:
    """Whether its corners enclose its area: a choice may have changed the one and not the other."""
    following = (*plane.outline[1:], plane.outline[0])
    twice = sum(x * v - u * y for (x, y), (u, v) in zip(plane.outline, following, strict=True))
    return abs(abs(twice) / 2.0 - plane.plan_area_m2) <= AREA_AGREES * plane.plan_area_m2


def deep_m(tank: Tank) -> float:
    """How deep a tank is seen from above, away from the building."""
    shape = tank.shape
    if isinstance(shape, BoxTank):
        return shape.width_m
    return shape.diameter_m if isinstance(shape, HorizontalCylinder) else width_m(shape)


def building_distance(tank: Tank, roofs: Iterable[Roof]) -> tuple[str, float] | None:
    """The distance to a building that the site file states for a tank."""
    names = {*BUILDINGS, *(roof.name.casefold() for roof in roofs)}
    return next((one for one in tank.distances if one[0].casefold() in names), None)


def property_distance_m(tank: Tank) -> float | None:
    """The distance to the property line that the site file states for a tank."""
    return next((far for name, far in tank.distances if name.casefold() == PROPERTY_LINE), None)


def _property_m(stores: Iterable[Tank], *, gap_m: float, roofs: tuple[Roof, ...]) -> float | None:
    """So far down that no tank need stand nearer to the buildings than its gap."""
    lows = []
    for tank in stores:
        far = property_distance_m(tank)
        if far is not None:
            stated = building_distance(tank, roofs)
            lows.append(-(stated[1] if stated else gap_m) - deep_m(tank) - far)
    return min(lows, default=None)


def _top_m(
    tank: Tank, roofs: tuple[Roof, ...], *, gap_m: float, line_m: float | None
) -> tuple[float, tuple[str, ...]]:
    """Level of its upper side on the plan, and the distances that set it."""
    stated, far = building_distance(tank, roofs), property_distance_m(tank)
    if far is not None and line_m is not None:
        return line_m + far + deep_m(tank), (PROPERTY_LINE,)
    if stated is not None:
        return -stated[1], (stated[0],)
    return -gap_m, ()


def _stand(tank: Tank, left: float, *, high: tuple[float, tuple[str, ...]]) -> Stand:
    top, stated = high
    wide, deep = width_m(tank.shape), deep_m(tank)
    link = tank.fittings.link
    apart = link.pipe.length_m if link else UNKNOWN_M / 3.0
    drawn = min(tank.count, MOST_DRAWN if tank.count > 2 * MOST_DRAWN else tank.count)
    boxes = tuple(
        Box(x, top - deep, x + wide, top)
        for x in (left + at * (wide + apart) for at in range(drawn))
    )
    return Stand(tank, boxes, stated)


def around(points: Iterable[Point]) -> Box:
    """The box around points."""
    found = tuple(points)
    across, up = [x for x, _ in found], [y for _, y in found]
    return Box(min(across), min(up), max(across), max(up))
