"""Wind on an empty tank: when it tips."""

import math
from dataclasses import dataclass

from eavewell.faults import OutOfRange
from eavewell.hydraulics.friction import GRAVITY_M_S2
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import Box, ConeBottom, HorizontalCylinder, UprightCylinder
from eavewell.tables import table


@dataclass(frozen=True, slots=True)
class Wind:
    """One empty tank in wind, not tied down.

    ratio  : height over its narrow width. tips_m_s : wind from which it tips; None where its
             weight is unknown.
    """

    height_m: float
    width_m: float
    ratio: float
    tips_m_s: float | None


def wind_on(tank: Tank) -> Wind | None:
    """Wind that tips one empty tank; None for a buried tank, a sump or an unknown shape."""
    size = upright_size_m(tank)
    if size is None or tank.is_sump or tank.burial is not None:
        return None
    height, width = size
    tips = None
    if tank.empty_kg is not None:
        tips = tipping_wind_m_s(tank.empty_kg, height, width_m=width, face_m=_face_m(tank))
    return Wind(height, width, height / width, tips)


def upright_size_m(tank: Tank) -> tuple[float, float] | None:
    """Height and narrow width of one tank; None where its shape does not tell."""
    shape = tank.shape
    if isinstance(shape, UprightCylinder | ConeBottom):
        return shape.height_m, shape.diameter_m
    if isinstance(shape, Box):
        return shape.height_m, min(shape.length_m, shape.width_m)
    if isinstance(shape, HorizontalCylinder):
        return shape.diameter_m, shape.diameter_m
    return None


def _face_m(tank: Tank) -> float | None:
    """Length of the side that the wind tips it by; None for a round one, as wide as it is deep."""
    if isinstance(tank.shape, Box):
        return max(tank.shape.length_m, tank.shape.width_m)
    return tank.shape.length_m if isinstance(tank.shape, HorizontalCylinder) else None


def tipping_wind_m_s(
    empty_kg: float, height_m: float, *, width_m: float, face_m: float | None = None
) -> float:
    """Wind at which the overturning moment passes two thirds of the empty weight's.

    The rule of API 650 for unanchored tanks: M <= 2/3 (W D / 2), contents left out; pressure on
    the upright area at half height. face_m : length of the side that the wind meets, over whose
    narrow width it tips; the width where left out.
    """
    face_m = width_m if face_m is None else face_m
    if min(empty_kg, height_m, width_m, face_m) <= 0.0:
        raise OutOfRange("A tank in wind has weight, height and width.")
    rule = table("structure")
    holds_n_m = rule["wind share"].value * empty_kg * GRAVITY_M_S2 * width_m / 2.0
    pressure_pa = holds_n_m / (face_m * height_m * height_m / 2.0)
    return math.sqrt(pressure_pa / rule["wind pressure"].value / rule["wind shape"].value)


def wind_pressure_pa(wind_m_s: float) -> float:
    """Velocity pressure, 0.00256 V2 in psf and mph."""
    if not 0.0 <= wind_m_s <= 120.0:
        raise OutOfRange(f"A wind of {wind_m_s:g} m/s is out of range.")
    return table("structure")["wind pressure"].value * wind_m_s**2
