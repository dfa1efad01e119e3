"""Tanks joined by an open pipe whose floors differ: the lowest overflow rules."""

from dataclasses import dataclass

from eavewell.site.tank import Tank


@dataclass(frozen=True, slots=True)
class UnequalFloors:
    """A row of tanks on floors that differ.

    first   : number of the tank that spills first, counted from 1.
    lost_l  : volume above the lowest overflow, which never fills.
    shims_m : by how much each tank is to be raised until all stand as high as the highest.
    """

    first: int
    lost_l: float
    shims_m: tuple[float, ...]


def unequal_floors(tank: Tank) -> UnequalFloors | None:
    """What unequal floors cost; None where they are equal, or floors or shape unknown."""
    floors, full_m = tank.fittings.bases_m, _full_m(tank)
    if tank.shape is None or full_m is None or len(set(floors)) < 2:
        return None
    lowest, highest = min(floors), max(floors)
    full_l = tank.shape.volume_l(full_m)
    lost = sum(full_l - tank.shape.volume_l(full_m - (floor - lowest)) for floor in floors)
    shims = tuple(highest - floor for floor in floors)
    return UnequalFloors(floors.index(lowest) + 1, lost, shims)


def must_pass_l_s(tank: Tank, inflow_l_s: float) -> float:
    """Share of an inflow into the first tank that must pass on for all to fill together."""
    return inflow_l_s * (tank.count - 1) / tank.count


def _full_m(tank: Tank) -> float | None:
    if tank.overflow_m is not None:
        return tank.overflow_m
    return tank.shape.height_m if tank.shape else None
