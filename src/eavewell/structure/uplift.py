"""Groundwater under an empty buried tank or sump."""

from dataclasses import dataclass

import numpy as np

from eavewell.site.tank import Tank
from eavewell.structure.bearing import floor_m2
from eavewell.tables import table

KG_PER_L = 1.0


@dataclass(frozen=True, slots=True)
class Uplift:
    """One empty tank in the ground at the highest groundwater.

    lifts_kg : weight of the water it displaces, thick walls with it. holds_kg : tank, cover and
    anchors. Each None where something is unknown.
    """

    lifts_kg: float | None
    holds_kg: float | None
    unknown: tuple[str, ...]

    @property
    def factor(self) -> float | None:
        """Holding over lifting; None unknown, infinity where nothing lifts."""
        if self.lifts_kg is None or self.holds_kg is None:
            return None
        return float("inf") if self.lifts_kg <= 0.0 else self.holds_kg / self.lifts_kg


def uplift(tank: Tank) -> Uplift | None:
    """Uplift of one buried tank; None for a tank above the ground."""
    burial = tank.burial
    if burial is None:
        return None
    known = {
        "highest groundwater": burial.groundwater_m,
        "level of the floor": tank.base_m,
        "shape": tank.shape,
    }
    unknown = [what for what, value in known.items() if value is None]
    lifts = holds = None
    if not unknown:
        lifts = (displaced_l(tank) + _walls_l(tank)) * KG_PER_L
        # nothing lifts a tank that stands above the water: its weight need not be known
        if tank.empty_kg is not None or lifts == 0.0:
            holds = (tank.empty_kg or 0.0) + _cover_kg(tank) + burial.anchor_kg
        else:
            unknown.append("weight of the empty tank")
    return Uplift(lifts, holds, tuple(unknown))


def displaced_l(tank: Tank) -> float:
    """Water that one tank displaces below the groundwater, by its inside shape."""
    assert tank.burial is not None
    if tank.shape is None or tank.base_m is None or tank.burial.groundwater_m is None:
        return 0.0
    wet_m = float(np.clip(tank.burial.groundwater_m - tank.base_m, 0.0, tank.shape.height_m))
    return tank.shape.volume_l(wet_m)


def _walls_l(tank: Tank) -> float:
    """Water that the walls of a concrete tank displace, as far as they stand in it; others thin."""
    if tank.shape is None or tank.empty_kg is None or "concrete" not in tank.material.lower():
        return 0.0
    wet = displaced_l(tank) / tank.shape.volume_l(tank.shape.height_m)
    return 1000.0 * tank.empty_kg / table("structure")["concrete weight"].value * wet


def _cover_kg(tank: Tank) -> float:
    """Soil on the top, as if it stood under water: the careful side."""
    assert tank.burial is not None
    area = floor_m2(tank) or 0.0
    return area * tank.burial.cover_m * table("structure")["soil under water"].value
