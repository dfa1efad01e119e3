"""The pipes of a pumped line: speed in each, and the suction side of its pump."""

from collections.abc import Iterator
from dataclasses import dataclass

from eavewell.hydraulics.friction import pipe_loss_m, speed_m_s
from eavewell.hydraulics.line_network import WaterLevels
from eavewell.hydraulics.pressure_budget import branch_flow_l_s
from eavewell.hydraulics.suction import (
    air_head_m,
    npsh_available_m,
    practical_lift_m,
    vapour_head_m,
)
from eavewell.site.line import Line
from eavewell.site.pipe import Pipe
from eavewell.site.site import Site
from eavewell.tables import table
from eavewell.units import read


@dataclass(frozen=True, slots=True)
class PipeSpeed:
    """Speed in a pipe at its peak flow. limit : row name in tables/pipe_speeds.csv."""

    what: str
    pipe: Pipe
    flow_l_s: float
    speed_m_s: float
    most_m_s: float


@dataclass(frozen=True, slots=True)
class SuctionHead:
    """Suction side at the pump's largest flow with the tank low; lift_m below 0 where flooded."""

    lift_m: float
    practical_m: float
    lost_m: float
    available_m: float
    needed_m: float | None


def pipe_speeds(line: Line, peak_l_s: float) -> Iterator[PipeSpeed]:
    """Speed in the main and suction at peak flow, in each branch at what its outlets then draw."""
    yield _speed("main", line.main, flow_l_s=peak_l_s, row=line.main.material)
    if line.suction is not None:
        yield _speed("suction", line.suction, flow_l_s=peak_l_s, row="suction")
    for outlet in line.outlets:
        if outlet.branch is not None:
            flow = branch_flow_l_s(outlet, peak_l_s)
            row = outlet.branch.material
            yield _speed(f"branch to {outlet.name}", outlet.branch, flow_l_s=flow, row=row)


def _speed(what: str, pipe: Pipe, *, flow_l_s: float, row: str) -> PipeSpeed:
    known = table("pipe_speeds")
    most = read(f"{known[row if row in known else 'pvc'].value:g} ft/s", "speed")
    return PipeSpeed(what, pipe, flow_l_s, speed_m_s(flow_l_s, pipe.bore_mm), most)


def suction_head(site: Site, line: Line, *, levels: WaterLevels) -> SuctionHead | None:
    """Suction side with the tank low; None where the height above the sea is unknown."""
    elevation = site.place.elevation_m
    if line.pump is None or line.pump_m is None or elevation is None:
        return None
    flow = line.pump.curve[-1][0]
    lost_m = pipe_loss_m(flow, line.suction) if line.suction else 0.0
    return SuctionHead(
        lift_m=line.pump_m - levels.low_m,
        practical_m=practical_lift_m(elevation),
        lost_m=lost_m,
        available_m=npsh_available_m(
            levels.low_m - line.pump_m,
            lost_m=lost_m,
            air_m=air_head_m(elevation),
            vapour_m=vapour_head_m(table("service")["warmest water"].value),
        ),
        needed_m=line.pump.npsh_m,
    )
