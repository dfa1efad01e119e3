"""Roof area as drainage counts it, three ways that are never mixed, and the flow off it.

These areas size gutters and pipes only; the water caught always follows from the plan area.
"""

from functools import cache

from eavewell.faults import OutOfRange
from eavewell.tables import rows, table

SECONDS_PER_HOUR = 3600.0
# Steeper than this, a roof is a wall.
_STEEPEST = 12.0


def roof_flow_l_s(area_m2: float, intensity_mm_h: float) -> float:
    """Flow off an area that sheds all its rain: 1 mm on 1 m2 is 1 L.

    In US units this is I A / 96.25 gal/min with in/h and ft2 (0.0104 I A in the model code).

    >>> roof_flow_l_s(36.0, 100.0)
    1.0
    """
    if area_m2 < 0.0 or intensity_mm_h < 0.0:
        raise OutOfRange("Area and rain are never below zero.")
    return area_m2 * intensity_mm_h / SECONDS_PER_HOUR


def area_m2_plan_and_wall(plan_area_m2: float, *, wall_m2: float, wall_share: float) -> float:
    """Plan and part of the walls above it, as the plumbing codes count.

    wall_share : 0.5 of one wall, 0.35 of two adjoining together (model codes), else local.
    """
    if not 0.0 <= wall_share <= 1.0:
        raise OutOfRange(f"A wall sheds 0 to 1 of its area, not {wall_share:g}.")
    return _some(plan_area_m2) + wall_share * wall_m2


def area_m2_pitch_factor(plan_area_m2: float, pitch: float) -> float:
    """Plan times a factor of the pitch, as sheet-metal practice counts; pitch : rise over run."""
    return _some(plan_area_m2) * pitch_factor(pitch)


def area_m2_en_12056(plan_area_m2: float, pitch: float) -> float:
    """L (W + H/2) of EN 12056-3: plan width and half the rise; pitch : rise over run."""
    return _some(plan_area_m2) * (1.0 + _roof_pitch(pitch) / 2.0)


def pitch_factor(pitch: float) -> float:
    """Factor of tables/pitch_factors.csv; a pitch between two rows takes the steeper one."""
    rise_in_12 = 12.0 * _roof_pitch(pitch)
    return next(factor for most, factor in _pitch_rows() if rise_in_12 <= most + 1e-9)


def pitch_or_usual(pitch: float | None) -> float:
    """The pitch, or the one that an unknown pitch counts as."""
    return table("eave_figures")["pitch where unknown"].value if pitch is None else pitch


@cache
def _pitch_rows() -> tuple[tuple[float, float], ...]:
    return tuple((float(r["most_rise_in_12"]), float(r["factor"])) for r in rows("pitch_factors"))


def _roof_pitch(pitch: float) -> float:
    if not 0.0 <= pitch <= _STEEPEST:
        raise OutOfRange(f"A roof's pitch lies between 0 and {_STEEPEST:g} over 1, not {pitch:g}.")
    return pitch


def _some(plan_area_m2: float) -> float:
    if plan_area_m2 <= 0.0:
        raise OutOfRange("A roof that drains has some plan area.")
    return plan_area_m2
