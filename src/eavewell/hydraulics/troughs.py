"""Troughs and bowls on float valves: refilled in their peak hours, and if a float sticks."""

from dataclasses import dataclass
from typing import Literal

from eavewell.hydraulics.line_network import WaterLevels, line_network
from eavewell.hydraulics.network import solve
from eavewell.site.line import Line
from eavewell.site.outlet import Trough
from eavewell.tables import table

Way = Literal["herd", "single file", "unknown"]


@dataclass(frozen=True, slots=True)
class TroughRun:
    """One trough alone on its line.

    way        : how the animals come, told by the distance they walk.
    refill_l_s : with the tank low and dirty filters.
    open_l_s   : with the tank full, the float stuck open.
    day_l      : water its animals and its open surface want on the peak day; None unknown.
    needs_l_s  : flow that its way asks for; None unknown. stored_l : what it must hold; 0 for none.
    stuck_h    : hours in which a stuck float empties the full tank; None where none flows.
    evaporates_l_day : of its open water on the peak day, already in day_l.
    """

    trough: Trough
    way: Way
    refill_l_s: float
    open_l_s: float
    day_l: float | None
    needs_l_s: float | None
    stored_l: float
    stuck_h: float | None
    evaporates_l_day: float


def run_trough(
    line: Line,
    trough: Trough,
    *,
    levels: WaterLevels,
    tank_l: float,
    animals_l_day: float | None,
    evaporation_mm_day: float = 0.0,
) -> TroughRun:
    """Run one trough alone: its level and the flow of its valve must be known.

    tank_l : usable water of the full tank. animals_l_day : what drinks there on the peak day.
    evaporation_mm_day : of open water on the peak day; it is use like any other.
    """
    low_l_s = _flow(line, trough, water_m=levels.low_m, dirty=True)
    full_l_s = _flow(line, trough, water_m=levels.full_m)
    lost_l = evaporation_mm_day * trough.surface_m2
    day_l = None if animals_l_day is None else animals_l_day + lost_l
    way = way_of(trough)
    return TroughRun(
        trough,
        way,
        refill_l_s=low_l_s,
        open_l_s=full_l_s,
        day_l=day_l,
        needs_l_s=needed_l_s(way, day_l),
        stored_l=table("troughs")["herd stored"].value * (day_l or 0.0) if way == "herd" else 0.0,
        stuck_h=tank_l / full_l_s / 3600.0 if full_l_s > 0.0 else None,
        evaporates_l_day=lost_l,
    )


def way_of(trough: Trough) -> Way:
    """Herd or single file, by the distance walked (Ohio State University Extension ANR-12)."""
    if trough.walk_m is None:
        return "unknown"
    return "herd" if trough.walk_m > table("troughs")["herd walks"].value else "single file"


def needed_l_s(way: Way, day_l: float | None) -> float | None:
    """Flow that refills in time: a quarter of the day in an hour, or the day in four hours."""
    rule = table("troughs")
    if day_l is None or way == "unknown":
        return None
    if way == "herd":
        return rule["herd stored"].value * day_l / rule["herd refill"].value / 3600.0
    return day_l / rule["single file hours"].value / 3600.0


def _flow(line: Line, trough: Trough, *, water_m: float, dirty: bool = False) -> float:
    net = line_network(line, water_m, running={trough.name}, dirty=dirty)
    flow = solve(net).outlet_l_s[trough.name]
    return flow if trough.limiter_l_s is None else min(flow, trough.limiter_l_s)
