"""What an opening lets through: a hole under water, a hole partly under water, a weir."""

import math

import numpy as np

from eavewell.faults import OutOfRange
from eavewell.hydraulics.friction import GRAVITY_M_S2
from eavewell.tables import table

_SLICES = 200


def orifice_l_s(bore_mm: float, head_m: float, *, cd: float | None = None) -> float:
    """Flow through a round sharp-edged hole under water, Q = cd A sqrt(2 g h).

    head_m : water over the centre of the hole, 0 or more, not below the top of an upright hole.
    cd     : discharge coefficient, 0.4 to 1; None takes the row of tables/openings.csv.
    """
    cd = _coefficient(cd)
    if bore_mm < 0.0 or head_m < 0.0:
        raise OutOfRange("A hole and the water over it are never less than nothing.")
    area_m2 = math.pi / 4.0 * (bore_mm / 1000.0) ** 2
    return 1000.0 * cd * area_m2 * math.sqrt(2.0 * GRAVITY_M_S2 * head_m)


def side_hole_l_s(bore_mm: float, water_m: float, *, cd: float | None = None) -> float:
    """Flow through a round hole in an upright wall, partly or wholly under water.

    water_m : water above the lowest point of the hole; none flows at 0 or below.
    Each thin slice of the wetted opening flows by the head over it (Torricelli).
    """
    cd, bore_m = _coefficient(cd), bore_mm / 1000.0
    wetted_m = min(water_m, bore_m)
    if wetted_m <= 0.0:
        return 0.0
    heights_m = (np.arange(_SLICES) + 0.5) / _SLICES * wetted_m
    chords_m = 2.0 * np.sqrt(heights_m * (bore_m - heights_m))
    speeds_m_s = np.sqrt(2.0 * GRAVITY_M_S2 * (water_m - heights_m))
    return float(1000.0 * cd * (chords_m * speeds_m_s).sum() * wetted_m / _SLICES)


def weir_l_s(width_m: float, head_m: float) -> float:
    """Flow over a broad level spillway, Q = c b h^1.5.

    head_m : water above the crest, 0 to 2 m; width_m : 0 or more. OutOfRange outside.
    """
    if width_m < 0.0 or not 0.0 <= head_m <= 2.0:
        raise OutOfRange(f"A weir {width_m:g} m wide under {head_m:g} m of water is out of range.")
    return float(1000.0 * table("openings")["broad weir"].value * width_m * head_m**1.5)


def _coefficient(cd: float | None) -> float:
    value = table("openings")["orifice"].value if cd is None else cd
    if not 0.4 <= value <= 1.0:
        raise OutOfRange(f"A discharge coefficient of {value:g} lies outside 0.4 to 1.")
    return value
