"""A drip lateral by gravity: what each plant gets at every level of the tank."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from eavewell.hydraulics.line_network import WaterLevels, lateral_nodes, line_network
from eavewell.hydraulics.network import solve
from eavewell.hydraulics.uniformity import (
    coefficient_of_uniformity_christiansen,
    distribution_uniformity_low_quarter,
    emission_uniformity,
)
from eavewell.site.line import Line
from eavewell.site.outlet import Lateral
from eavewell.tables import table

MOST_PLANTS = 200
HIGHEST_STAND_M = 30.0
MOST_EMITTERS = 12


@dataclass(frozen=True, slots=True)
class Watered:
    """A lateral at one water level.

    plant_l_h : flow of each plant, in the order of flow. The evenness measures are shares; None
    where no plant gets water. least_share : least flow over the rated one.
    """

    water_m: float
    plant_l_h: tuple[float, ...]
    emission: float | None
    christiansen: float | None
    low_quarter: float | None
    least_share: float


@dataclass(frozen=True, slots=True)
class LateralRun:
    """A lateral with its tank full, half full, and low with dirty filters, alone on its line.

    hours   : to give the least plant its peak day's water at half; None unknown or never.
    raise_m : height to add under the tank so that it waters evenly when low; 0 where it does;
              None where no stand does.
    carries : most plants it waters evenly when low; None where not even one.
    each_needed : emitters at each plant that give the day's water in the longest run of
    tables/drip.csv, at half; None unknown, or where so many do not.
    """

    lateral: Lateral
    full: Watered
    half: Watered
    low: Watered
    hours: float | None
    raise_m: float | None
    carries: int | None
    each_needed: int | None


def run_lateral(line: Line, lateral: Lateral, *, levels: WaterLevels) -> LateralRun:
    """Run one lateral alone at each water level of its tank; its own level must be known."""
    full, half = (
        watered(line, lateral, water_m=water_m) for water_m in (levels.full_m, levels.half_m)
    )
    low = watered(line, lateral, water_m=levels.low_m, dirty=True)
    least_l_h = min(half.plant_l_h)
    wants = lateral.plant_l_day
    return LateralRun(
        lateral,
        full,
        half,
        low,
        hours=wants / least_l_h if wants is not None and least_l_h > 0.0 else None,
        raise_m=_raise_m(line, lateral, low_m=levels.low_m),
        carries=_carries(line, lateral, low_m=levels.low_m),
        each_needed=_each_needed(line, lateral, half_m=levels.half_m),
    )


def watered(line: Line, lateral: Lateral, *, water_m: float, dirty: bool = False) -> Watered:
    """A lateral alone on its line with the water in the tank at a level.

    dirty : filters as they are when they must be changed.
    """
    solved = solve(line_network(line, water_m, running={lateral.name}, dirty=dirty))
    flows = tuple(3600.0 * solved.outlet_l_s[name] for name in lateral_nodes(lateral))
    rated_l_h = lateral.each * lateral.emitter.rated_l_h
    some = sum(flows) > 0.0
    known = lateral.emitter.variation
    variation = table("drip")["variation of making"].value if known is None else known
    return Watered(
        water_m,
        flows,
        emission_uniformity(flows, variation=variation, each=lateral.each) if some else None,
        coefficient_of_uniformity_christiansen(flows) if some else None,
        distribution_uniformity_low_quarter(flows) if some else None,
        least_share=min(flows) / rated_l_h,
    )


def waters_evenly(found: Watered) -> bool:
    """Whether a lateral is even enough and drips steadily, by tables/drip.csv."""
    rule = table("drip")
    even = found.emission is not None and found.emission >= rule["even enough"].value
    return even and found.least_share >= rule["flow share"].value


def _each_needed(line: Line, lateral: Lateral, *, half_m: float) -> int | None:
    wants, longest_h = lateral.plant_l_day, table("drip")["longest run"].value
    if wants is None:
        return None
    for each in range(lateral.each, lateral.each + MOST_EMITTERS):
        more = replace(lateral, each=each)
        least = min(watered(_with(line, lateral, more=more), more, water_m=half_m).plant_l_h)
        if least > 0.0 and wants / least <= longest_h:
            return each
        if least <= 0.0:
            return None
    return None


def _with(line: Line, lateral: Lateral, *, more: Lateral) -> Line:
    """The line with one lateral changed."""
    return replace(line, laterals=tuple(more if one is lateral else one for one in line.laterals))


def _raise_m(line: Line, lateral: Lateral, *, low_m: float) -> float | None:
    def even(raised_m: float) -> bool:
        return waters_evenly(watered(line, lateral, water_m=low_m + raised_m, dirty=True))

    if even(0.0):
        return 0.0
    return least(even, HIGHEST_STAND_M)


def least(holds: Callable[[float], bool], most: float) -> float | None:
    """The least value up to `most` at which something holds, to a centimetre."""
    if not holds(most):
        return None
    low, high = 0.0, most
    while high - low > 0.01:
        middle = (low + high) / 2.0
        low, high = (low, middle) if holds(middle) else (middle, high)
    return high


def _carries(line: Line, lateral: Lateral, *, low_m: float) -> int | None:
    """Plants fall along the same slope: a shorter lateral ends nearer to its first plant."""

    def even(plants: int) -> bool:
        shorter = shortened(lateral, plants)
        changed = _with(line, lateral, more=shorter)
        return waters_evenly(watered(changed, shorter, water_m=low_m, dirty=True))

    if not even(1):
        return None
    low, high = 1, 2
    while high <= MOST_PLANTS and even(high):
        low, high = high, 2 * high
    high = min(high, MOST_PLANTS + 1)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if even(middle) else (low, middle)
    return low


def shortened(lateral: Lateral, plants: int) -> Lateral:
    """The same lateral with another number of plants, on the same slope."""
    if lateral.level_m is None or lateral.far_level_m is None or lateral.plants < 2:
        return replace(lateral, plants=plants)
    step_m = (lateral.far_level_m - lateral.level_m) / (lateral.plants - 1)
    return replace(
        lateral, plants=plants, far_level_m=lateral.level_m + step_m * max(plants - 1, 0)
    )
