"""Weight of a full tank on the soil under its base."""

import math
from dataclasses import dataclass

from eavewell.faults import OutOfRange
from eavewell.hydraulics.friction import GRAVITY_M_S2
from eavewell.site.base import Base
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import Box, HorizontalCylinder, UprightCylinder
from eavewell.tables import table

KG_PER_L = 1.0


@dataclass(frozen=True, slots=True)
class Bearing:
    """One full tank on the soil.

    full_kg   : water to the rim, tank and base. floor_m2 : the tank's own footprint.
    area_m2   : that carries it; None unknown. pressure_kpa : on the soil; None unknown.
    allowed_kpa : presumptive; None where the soil is unknown, 0 where it has none.
    edge_m    : base beyond the tank; None unknown. edge_least_m : what its kind asks for.
    needed_m2 : area on which the soil carries it, the wider base's own weight with it; None
                unknown, or where no area does.
    """

    full_kg: float
    floor_m2: float | None
    area_m2: float | None
    pressure_kpa: float | None
    allowed_kpa: float | None
    edge_m: float | None
    edge_least_m: float | None
    needed_m2: float | None = None


def bearing(tank: Tank) -> Bearing | None:
    """Pressure of one full tank on its soil; None where nothing of its base is described."""
    base = tank.stands_on
    if base is None:
        return None
    floor = floor_m2(tank)
    area = carrying_area_m2(tank)
    tank_kg = tank.rim_l / tank.count * KG_PER_L + (tank.empty_kg or 0.0)
    full_kg = tank_kg + base_weight_kg(base.kind, area or 0.0, thick_m=base.thick_m)
    soils, kinds = table("bearing"), table("bases")
    if base.soil and base.soil not in soils:
        raise OutOfRange(
            f"tank {tank.name!r}: soil {base.soil!r} is not one of {', '.join(soils)}."
        )
    if base.kind not in kinds:
        raise OutOfRange(
            f"tank {tank.name!r}: base {base.kind!r} is not one of {', '.join(kinds)}."
        )
    allowed_kpa = soils[base.soil].value if base.soil else None
    return Bearing(
        full_kg,
        floor,
        area,
        pressure_kpa=pressure_kpa(full_kg, area) if area else None,
        allowed_kpa=allowed_kpa,
        edge_m=base.edge_m,
        edge_least_m=kinds[base.kind].low,
        needed_m2=_needed_m2(base, tank_kg, allowed_kpa=allowed_kpa),
    )


def _needed_m2(base: Base, tank_kg: float, *, allowed_kpa: float | None) -> float | None:
    """Each square metre of base carries what the soil is allowed, less its own weight."""
    if allowed_kpa is None:
        return None
    own_kg = base_weight_kg(base.kind, 1.0, thick_m=base.thick_m)
    spare_kpa = allowed_kpa - pressure_kpa(own_kg, 1.0)
    return pressure_kpa(tank_kg, spare_kpa) if spare_kpa > 0.0 else None


def pressure_kpa(weight_kg: float, area_m2: float) -> float:
    """Weight over area, as pressure."""
    if weight_kg < 0.0 or area_m2 <= 0.0:
        raise OutOfRange("A weight presses on an area larger than nothing.")
    return weight_kg * GRAVITY_M_S2 / area_m2 / 1000.0


def floor_m2(tank: Tank) -> float | None:
    """Footprint of one tank; None where its shape does not tell."""
    shape = tank.shape
    if isinstance(shape, UprightCylinder):
        return math.pi / 4.0 * shape.diameter_m**2
    if isinstance(shape, Box):
        return shape.length_m * shape.width_m
    if isinstance(shape, HorizontalCylinder):
        return shape.length_m * shape.diameter_m
    return None


def carrying_area_m2(tank: Tank) -> float | None:
    """Area that carries one tank onto the soil: stated, its pads, or footprint and edge.

    A thin edge of rock or sand carries little: only as far out as the base is thick (at 45
    degrees, common practice).
    """
    base, floor = tank.stands_on, floor_m2(tank)
    if base is None:
        return None
    if base.area_m2 is not None:
        return base.area_m2
    if base.blocks and base.block_m2 > 0.0:
        return base.blocks * base.block_m2
    if floor is None or base.kind == "blocks":
        return None
    spread_m = min(base.edge_m or 0.0, base.thick_m)
    return _grown(tank, floor, spread_m=spread_m)


def _grown(tank: Tank, floor: float, *, spread_m: float) -> float:
    shape = tank.shape
    if isinstance(shape, UprightCylinder):
        return math.pi / 4.0 * (shape.diameter_m + 2.0 * spread_m) ** 2
    if isinstance(shape, Box):
        return (shape.length_m + 2.0 * spread_m) * (shape.width_m + 2.0 * spread_m)
    return floor


def base_weight_kg(kind: str, area_m2: float, *, thick_m: float) -> float:
    """Weight of the base itself; a bare ground or blocks weigh nothing here."""
    if kind in ("blocks", "ground"):
        return 0.0
    material = "concrete weight" if kind == "slab" else "rock weight"
    return area_m2 * thick_m * table("structure")[material].value
