"""A barrel on a stand: whether it tips, full and with a child on the rim."""

from dataclasses import dataclass

from eavewell.site.tank import Tank
from eavewell.structure.wind import upright_size_m
from eavewell.tables import table


@dataclass(frozen=True, slots=True)
class Stand:
    """One tank on its stand.

    height_m : of the stand. footing_m : its narrow width; None unknown. full_kg : of one tank.
    margin   : righting over tipping moment, a child hanging on the rim of the full tank, and of
               the empty one; None unknown.
    """

    height_m: float
    footing_m: float | None
    full_kg: float
    margin_full: float | None
    margin_empty: float | None


def stand_of(tank: Tank) -> Stand | None:
    """The stand under a tank; None where it has none."""
    base = tank.stands_on
    if base is None or base.height_m <= 0.0:
        return None
    full_kg = tank.rim_l / tank.count + (tank.empty_kg or 0.0)
    size = upright_size_m(tank)
    margins = [
        _margin(weight, base.width_m, width_m=size[1] if size else None)
        for weight in (full_kg, tank.empty_kg)
    ]
    return Stand(base.height_m, base.width_m, full_kg, margins[0], margins[1])


def _margin(
    weight_kg: float | None, footing_m: float | None, *, width_m: float | None
) -> float | None:
    """The child's weight hangs at the rim, beyond the edge of a stand narrower than the tank.

    About the edge of the stand, or of the tank on a wider one: the tank's weight rights it by half
    the footing it has, the child tips it by what the rim reaches beyond that edge, and pulls
    outward at arm's length.
    """
    if weight_kg is None or footing_m is None or width_m is None:
        return None
    rule = table("structure")
    pull = rule["child's pull"].value
    footing_m = min(footing_m, width_m)
    reach_m = (width_m - footing_m) / 2.0 + rule["arm's length"].value
    return weight_kg * footing_m / 2.0 / (pull * reach_m)
