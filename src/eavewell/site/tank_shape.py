"""The shape of a tank: how much it holds at each depth."""

import math
from dataclasses import dataclass

import numpy as np

from eavewell.site.rain_record import FloatArray


@dataclass(frozen=True, slots=True)
class UprightCylinder:
    """A round tank on its base."""

    diameter_m: float
    height_m: float

    def volume_l(self, depth_m: float) -> float:
        """Volume below a water depth."""
        return 1000.0 * math.pi / 4.0 * self.diameter_m**2 * min(max(depth_m, 0.0), self.height_m)


@dataclass(frozen=True, slots=True)
class Box:
    """A tank with upright walls and a rectangular floor."""

    length_m: float
    width_m: float
    height_m: float

    def volume_l(self, depth_m: float) -> float:
        """Volume below a water depth."""
        return 1000.0 * self.length_m * self.width_m * min(max(depth_m, 0.0), self.height_m)


@dataclass(frozen=True, slots=True)
class HorizontalCylinder:
    """A round tank lying on its side, with flat ends."""

    diameter_m: float
    length_m: float

    @property
    def height_m(self) -> float:
        """Depth when full."""
        return self.diameter_m

    def volume_l(self, depth_m: float) -> float:
        """Volume below a water depth: the circular segment times the length."""
        radius = self.diameter_m / 2.0
        depth = min(max(depth_m, 0.0), self.diameter_m)
        rise = radius - depth
        # half the surface's width, written so that an almost empty tank loses no figures
        half_width = math.sqrt(depth * (self.diameter_m - depth))
        segment_m2 = radius**2 * math.atan2(half_width, rise) - rise * half_width
        return 1000.0 * self.length_m * max(segment_m2, 0.0)


@dataclass(frozen=True, slots=True)
class ConeBottom:
    """A round tank with a cone below the cylinder, point down."""

    diameter_m: float
    cone_m: float
    height_m: float

    def volume_l(self, depth_m: float) -> float:
        """Volume below a water depth, measured from the point of the cone."""
        depth = min(max(depth_m, 0.0), self.height_m)
        wet_cone = min(depth, self.cone_m)
        section_m2 = math.pi / 4.0 * self.diameter_m**2
        cone_m3 = section_m2 * wet_cone**3 / (3.0 * self.cone_m**2)
        return 1000.0 * (cone_m3 + section_m2 * (depth - wet_cone))


@dataclass(frozen=True, slots=True)
class StrappingTable:
    """A measured depth-volume table; straight lines between its points.

    depths_m, volumes_l : rising together from an empty tank; at least two points.
    """

    depths_m: tuple[float, ...]
    volumes_l: tuple[float, ...]

    @property
    def height_m(self) -> float:
        """Depth of the highest point."""
        return self.depths_m[-1]

    def volume_l(self, depth_m: float) -> float:
        """Volume below a water depth."""
        return float(np.interp(depth_m, self.depths_m, self.volumes_l))


TankShape = UprightCylinder | Box | HorizontalCylinder | ConeBottom | StrappingTable


def strapping_table(shape: TankShape, step_m: float = 0.01) -> tuple[FloatArray, FloatArray]:
    """Depths and the volumes below them, from empty to the rim, rim included.

    Returns (depths_m, volumes_l), each of shape (point,).
    """
    points = max(2, math.ceil(shape.height_m / step_m) + 1)
    depths_m = np.linspace(0.0, shape.height_m, points)
    return depths_m, np.array([shape.volume_l(float(depth)) for depth in depths_m])


def depth_at(shape: TankShape, volume_l: float) -> float:
    """Depth in metres of a volume in one tank: a strapping table read the other way.

    volume_l : less than nothing or more than the tank holds gives the floor or the rim.
    """
    low_m, high_m = 0.0, shape.height_m
    for _ in range(60):  # halves the height to far below a micrometre
        middle_m = (low_m + high_m) / 2.0
        if shape.volume_l(middle_m) < volume_l:
            low_m = middle_m
        else:
            high_m = middle_m
    return (low_m + high_m) / 2.0
