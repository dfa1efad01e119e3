"""How long a tank takes to run empty through its drain."""

import math
from itertools import pairwise

from eavewell.hydraulics.openings import orifice_l_s
from eavewell.site.tank_shape import TankShape

_STEPS = 400


def drain_down_h(shape: TankShape, from_m: float, *, bore_mm: float) -> float:
    """Hours from a depth to the floor through a round hole at the floor; Torricelli.

    The steps are even in the root of the depth, so that an upright tank comes out exactly.
    """
    if bore_mm <= 0.0:
        return math.inf
    roots = [math.sqrt(max(from_m, 0.0)) * at / _STEPS for at in range(_STEPS + 1)]
    seconds = 0.0
    for low, high in pairwise(roots):
        volume_l = shape.volume_l(high**2) - shape.volume_l(low**2)
        head_m = ((low + high) / 2.0) ** 2
        seconds += volume_l / orifice_l_s(bore_mm, head_m) if head_m > 0.0 else 0.0
    return seconds / 3600.0
