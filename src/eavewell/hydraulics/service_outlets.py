"""What each outlet of a pumped line gets when it runs alone, and everything open at once."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from eavewell.hydraulics.line_network import Needs, Running, WaterLevels, line_network, needs_of
from eavewell.hydraulics.network import solve
from eavewell.hydraulics.service_pump import held_at
from eavewell.site.line import InLine, Line
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
        least = _alone_at(least_of(line, levels), outlet, water_m=levels.low_m, dirty=True)
        most_line, water_m = most_of(line, levels)
        most = _alone_at(most_line, outlet, water_m=water_m)
        yield ServedOutlet(outlet, needs_of(outlet), *least, *most)


def _alone_at(
    line: Line, outlet: Outlet, *, water_m: float, dirty: bool = False
) -> tuple[float, float]:
    """Head and flow of one outlet that runs alone; none where it stands above all reach."""
    if not within_reach(line, outlet.level_m, water_m=water_m):
        return 0.0, 0.0
    found = solve(line_network(line, water_m, running={outlet.name}, dirty=dirty))
    return found.pressure_m[outlet.name] or 0.0, found.outlet_l_s[outlet.name]


def within_reach(line: Line, level_m: float | None, *, water_m: float) -> bool:
    """Whether a level lies low enough for the pump to bring it water; an unknown one does not."""
    lifts_m = line.pump.shut_off_m if line.pump else 0.0
    return level_m is not None and level_m < water_m + lifts_m - NO_HEAD_M


def least_of(line: Line, levels: WaterLevels) -> Line:
    """The line at the lowest pressure its control lets it fall to."""
    held = line.cut_in_m if line.control == "switch" else line.cut_out_m
    if line.control == "on demand" or held is None:
        return line
    return held_at(line, held, water_m=levels.low_m)


def most_of(line: Line, levels: WaterLevels) -> tuple[Line, float]:
    """The line at its highest pressure and the level it starts from.

    With a switch the pressure tank itself gives the water, at cut-out, whatever the pump's curve.
    """
    if line.control == "switch" and line.cut_out_m is not None and line.pump_m is not None:
        return replace(line, pump=None, suction=None), line.pump_m + line.cut_out_m
    if line.control == "variable speed" and line.cut_out_m is not None:
        return held_at(line, line.cut_out_m, water_m=levels.full_m), levels.full_m
    return line, levels.full_m


def largest_flow_l_s(line: Line, levels: WaterLevels) -> float | None:
    """Flow with everything open at the highest pressure, or what a flow limiter lets pass of it."""
    most_line, water_m = most_of(line, levels)
    valves = tuple(one for one in line.troughs if one.valve_l_s is not None and one.valve_m)
    everything: tuple[Running, ...] = (*line.outlets, *line.laterals, *valves)
    running = {
        one.name for one in everything if within_reach(most_line, one.level_m, water_m=water_m)
    }
    if not running:
        return None
    flow_l_s = sum(solve(line_network(most_line, water_m, running=running)).outlet_l_s.values())
    held = [one.most_l_s for one in limiters(line) if one.most_l_s and behind_tank(line, one)]
    return min(flow_l_s, *held) if held else flow_l_s


def limiters(line: Line) -> list[InLine]:
    """The flow limiters in a line; one with a way around it limits nothing."""
    return [one for one in line.in_line if one.kind == "flow limiter" and not one.bypass]


def limited_l_s(line: Line, largest_l_s: float | None, *, at: InLine) -> float | None:
    """The largest flow at a thing in the line: all open, or what a flow limiter lets pass.

    largest_l_s : everything open; None unknown, a limiter alone then tells. A limiter on the other
    side of the pressure tank does not hold it.
    """
    known = [] if largest_l_s is None else [largest_l_s]
    side = behind_tank(line, at)
    known += [
        thing.most_l_s
        for thing in limiters(line)
        if thing.most_l_s is not None and behind_tank(line, thing) is side
    ]
    return min(known, default=None)


def behind_tank(line: Line, thing: InLine) -> bool:
    """Whether a thing in the line stands behind the pressure tank, seen from the pump."""
    tank = line.pressure_tank
    if tank is None or not tank.after:
        return True
    names = [one.name for one in line.in_line]
    at = names.index(tank.after) if tank.after in names else -1
    return line.in_line.index(thing) > at
