"""Where a GeoJSON geometry lies, and the area of its outline."""

import math
from dataclasses import dataclass
from typing import Any

from eavewell.site.outline import shoelace
from eavewell.tables import table


@dataclass(frozen=True, slots=True)
class Middle:
    """The middle of a geometry in degrees; area_m2 None for a point."""

    latitude: float
    longitude: float
    area_m2: float | None


def middle_and_area(geometry: Any) -> Middle | None:
    """The middle and plan area of a Point, Polygon or MultiPolygon; None for anything else.

    The outline is laid flat at its own latitude, which is right to far below a thousandth for a
    building. Courtyards are taken off.
    """
    try:
        kind, given = geometry["type"], geometry["coordinates"]
        if kind == "Point":
            return Middle(float(given[1]), float(given[0]), None)
        polygons = {"Polygon": [given], "MultiPolygon": given}[kind]
        return _of_polygons([[_corners(ring) for ring in polygon] for polygon in polygons])
    except (KeyError, TypeError, ValueError, IndexError, ZeroDivisionError):
        return None


def _corners(ring: Any) -> list[tuple[float, float]]:
    return [(float(corner[0]), float(corner[1])) for corner in ring]


def _of_polygons(polygons: list[list[list[tuple[float, float]]]]) -> Middle:
    corners = [corner for rings in polygons for corner in rings[0][:-1]]
    middle_x = sum(x for x, _ in corners) / len(corners)
    middle_y = sum(y for _, y in corners) / len(corners)
    degree_m = math.radians(1.0) * 1000.0 * table("rain_limits")["earth_radius"].value
    across_m = degree_m * math.cos(math.radians(middle_y))
    area_m2 = 0.0
    for outer, *inner in polygons:
        flat = [
            tuple(((x - middle_x) * across_m, (y - middle_y) * degree_m) for x, y in ring[:-1])
            for ring in (outer, *inner)
        ]
        area_m2 += shoelace(flat[0]) - sum(shoelace(ring) for ring in flat[1:])
    return Middle(middle_y, middle_x, area_m2)
