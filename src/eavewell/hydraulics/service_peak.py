"""Peak flow of a line: the demand by chance, and one steady draw beside it."""

from collections.abc import Iterator
from dataclasses import dataclass

from eavewell.hydraulics.fixture_demand import FixtureDemand, demands
from eavewell.hydraulics.line_network import needs_of
from eavewell.hydraulics.probable_demand import ProbableDemand, alike, probable_demand
from eavewell.site.line import Line
from eavewell.tables import rows


@dataclass(frozen=True, slots=True)
class Peak:
    """Peak flow of a line: the demand by chance, and one steady draw (a hose, a trough) beside it.

    units : by fixture units, each with its edition, for the plan reviewer.
    """

    flow_l_s: float
    units: tuple[FixtureDemand, ...]
    chance: ProbableDemand | None
    steady: str
    steady_l_s: float


def peak_of(line: Line) -> Peak:
    """Peak flow of a line by chance, the largest steady draw beside; never below one outlet's."""
    chance = probable_demand(alike(line.outlets))
    steady = max(_steady(line), key=lambda one: one[1], default=("", 0.0))
    least = max((needs_of(one).flow_l_s for one in line.outlets), default=0.0)
    flow = max((chance.busy_l_s if chance else 0.0) + steady[1], least)
    return Peak(flow, demands(line.outlets), chance, *steady)


def _steady(line: Line) -> Iterator[tuple[str, float]]:
    """What runs for long and has no share of the peak hour: hoses, drip lines, troughs."""
    by_chance = {row["fixture"] for row in rows("outlets") if row["busy_share"]}
    for outlet in line.outlets:
        if outlet.fixture not in by_chance:
            yield outlet.name, needs_of(outlet).flow_l_s
    for row in line.laterals:
        yield row.name, row.plants * row.each * row.emitter.rated_l_h / 3600.0
    for trough in line.troughs:
        yield trough.name, trough.valve_l_s or 0.0
