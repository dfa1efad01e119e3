"""The structural screening as plain data."""

import math
from typing import Any

from eavewell.structure.screening import Carried

Plain = dict[str, Any]


def structure_answer(carried: tuple[Carried, ...]) -> Plain:
    """Every tank's weight on its soil, wind, uplift and stand; screening only."""
    return {"checked": True, "tanks": [_tank(one) for one in carried]}


def _tank(one: Carried) -> Plain:
    bearing, wind, uplift, stand = one.bearing, one.wind, one.uplift, one.stand
    factor = uplift.factor if uplift else None
    return {
        "name": one.tank.name,
        "full_kg": bearing.full_kg if bearing else None,
        "carried_on_m2": bearing.area_m2 if bearing else None,
        "pressure_kpa": bearing.pressure_kpa if bearing else None,
        "allowed_kpa": bearing.allowed_kpa if bearing else None,
        "edge_m": bearing.edge_m if bearing else None,
        "height_over_width": wind.ratio if wind else None,
        "tips_in_wind_m_s": wind.tips_m_s if wind else None,
        "anchored": one.tank.anchored,
        "uplift_kg": uplift.lifts_kg if uplift else None,
        "held_kg": uplift.holds_kg if uplift else None,
        "uplift_factor": None if factor is None or math.isinf(factor) else factor,
        "stand_m": stand.height_m if stand else None,
        "tips_full_margin": stand.margin_full if stand else None,
        "tips_empty_margin": stand.margin_empty if stand else None,
    }
