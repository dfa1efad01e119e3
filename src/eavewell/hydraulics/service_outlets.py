"""What each outlet of a pumped line gets when it runs alone, and everything open at once."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from eavewell.hydraulics.line_network import Needs, Running, WaterLevels, line_network, needs_of
from eavewell.hydraulics.network import solve
from eavewell.hydraulics.service_pump import held_at
from eavewell.site.line import Line
from eavewell.site.outlet import Outlet

# An outlet with less head than this at no flow gets nothing worth counting.
NO_HEAD_M = 0.1


@dataclass(frozen=True, slots=True)
class ServedOutlet:
    """One outlet alone on its line.

    least_m, least_l_s : at cut-in with the tank low and dirty filters.
    most_m, most_l_s   : at cut-out with the tank full and clean filters.
    """

    outlet: Outlet
    needs: Needs
    least_m: float
    least_l_s: float
    most_m: float
    most_l_s: float


def served_outlets(line: Line, levels: WaterLevels) -> Iterator[ServedOutlet]:
    """Every outlet of a known level alone on the line, at the least and at the most pressure."""
    for outlet in line.outlets:
        if outlet.level_m is None:
            continue
        least = _alone_at(_least(line, levels), outlet, water_m=levels.low_m, dirty=True)
        most_line, water_m = _most(line, levels)
        most = _alone_at(most_line, outlet, water_m=water_m)
        yield ServedOutlet(outlet, needs_of(outlet), *least, *most)


def _alone_at(
    line: Line, outlet: Outlet, *, water_m: float, dirty: bool = False
) -> tuple[float, float]:
    """Head and flow of one outlet that runs alone; none where it stands above all reach."""
    if not _within_reach(line, outlet.level_m, water_m=water_m):
        return 0.0, 0.0
    found = solve(line_network(line, water_m, running={outlet.name}, dirty=dirty))
    return found.pressure_m[outlet.name] or 0.0, found.outlet_l_s[outlet.name]


def _within_reach(line: Line, level_m: float | None, *, water_m: float) -> bool:
    lifts_m = line.pump.shut_off_m if line.pump else 0.0
    return level_m is not None and level_m < water_m + lifts_m - NO_HEAD_M


def _least(line: Line, levels: WaterLevels) -> Line:
    """The line at the lowest pressure its control lets it fall to."""
    held = line.cut_in_m if line.control == "switch" else line.cut_out_m
    if line.control == "on demand" or held is None:
        return line
    return held_at(line, held, water_m=levels.low_m)


def _most(line: Line, levels: WaterLevels) -> tuple[Line, float]:
    """The line at its highest pressure and the level it starts from.

    With a switch the pressure tank itself gives the water, at cut-out, whatever the pump's curve.
    """
    if line.control == "switch" and line.cut_out_m is not None and line.pump_m is not None:
        return replace(line, pump=None, suction=None), line.pump_m + line.cut_out_m
    if line.control == "variable speed" and line.cut_out_m is not None:
        return held_at(line, line.cut_out_m, water_m=levels.full_m), levels.full_m
    return line, levels.full_m


def largest_flow_l_s(line: Line, levels: WaterLevels) -> float | None:
    """Flow with everything open at the highest pressure."""
    most_line, water_m = _most(line, levels)
    valves = tuple(one for one in line.troughs if one.valve_l_s is not None and one.valve_m)
    everything: tuple[Running, ...] = (*line.outlets, *line.laterals, *valves)
    running = {
        one.name for one in everything if _within_reach(most_line, one.level_m, water_m=water_m)
    }
    if not running:
        return None
    return sum(solve(line_network(most_line, water_m, running=running)).outlet_l_s.values())
