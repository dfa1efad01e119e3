"""Everything that stands on the lines with a pump: peak flow, pressure at every tap, pump, tank."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from eavewell.hydraulics.fixture_demand import FixtureDemand, demands
from eavewell.hydraulics.friction import pipe_loss_m, speed_m_s
from eavewell.hydraulics.line_network import (
    Needs,
    WaterLevels,
    line_network,
    needs_of,
    unknown_levels,
    water_levels,
)
from eavewell.hydraulics.network import solve
from eavewell.hydraulics.pressure_budget import Budget, worst_budget
from eavewell.hydraulics.probable_demand import ProbableDemand, alike, probable_demand
from eavewell.hydraulics.pump_curve import energy_kwh_m3
from eavewell.hydraulics.service_pump import PumpWorks, head_out_m, held_at, pump_works
from eavewell.hydraulics.service_tank import TankWorks, tank_works
from eavewell.hydraulics.suction import (
    air_head_m,
    npsh_available_m,
    practical_lift_m,
    vapour_head_m,
)
from eavewell.site.line import Line
from eavewell.site.outlet import Outlet
from eavewell.site.pipe import Pipe
from eavewell.site.site import Site
from eavewell.storage.series import Series, uses_in_order
from eavewell.tables import rows, table
from eavewell.units import read


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


@dataclass(frozen=True, slots=True)
class PumpedLine:
    """A line with a pump.

    levels    : of the water in its tank, low where the pump stops; None unknown, then only the
                peak flow is worked out.
    budget    : of the outlet with least to spare at peak.
    largest_flow_l_s : everything open at cut-out, the tank full, filters clean.
    kwh_m3, kwh_day  : electric energy of the pump. unknown : what is not known, in words.
    """

    line: Line
    levels: WaterLevels | None
    peak: Peak
    pump: PumpWorks | None
    tank: TankWorks | None
    outlets: tuple[ServedOutlet, ...]
    budget: Budget | None
    largest_flow_l_s: float | None
    speeds: tuple[PipeSpeed, ...]
    suction: SuctionHead | None
    l_day: float | None
    kwh_m3: float | None
    kwh_day: float | None
    unknown: tuple[str, ...]


def serve_on_record(site: Site, water: Series) -> tuple[PumpedLine, ...]:
    """Every pumped line, with the energy of an average day of the record."""
    l_day: dict[str, float] = {}
    means = water.demand_l.mean(axis=0) if len(water.demand_l) else ()
    for use, mean in zip(uses_in_order(site), means, strict=False):
        l_day[use.draws_from[0]] = l_day.get(use.draws_from[0], 0.0) + float(mean)
    return serve(site, l_day)


def serve(site: Site, l_day: Mapping[str, float] | None = None) -> tuple[PumpedLine, ...]:
    """Work out every line with a pump.

    l_day : tank -> what its uses draw on an average day.
    """
    return tuple(
        _served(site, line, l_day=l_day or {}) for line in site.lines if line.pump is not None
    )


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


def _served(site: Site, line: Line, *, l_day: Mapping[str, float]) -> PumpedLine:
    peak, levels = peak_of(line), service_levels(site, line)
    drawn = l_day.get(line.source) if _alone(site, line) else None
    base = PumpedLine(
        line=line,
        levels=levels,
        peak=peak,
        pump=None,
        tank=None,
        outlets=(),
        budget=None,
        largest_flow_l_s=None,
        speeds=tuple(_speeds(line, peak.flow_l_s)),
        suction=None,
        l_day=drawn,
        kwh_m3=None,
        kwh_day=None,
        unknown=tuple(_unknown(site, line, levels=levels)),
    )
    ready = levels is not None and line.pump_m is not None and _heads_known(line)
    return _worked(site, base, levels=levels) if levels and ready else base


def service_levels(site: Site, line: Line) -> WaterLevels | None:
    """Levels of the water in a pumped line's tank; low is where the dry-run cut-off stops it."""
    levels, tank = water_levels(site, line), {one.name: one for one in site.tanks}.get(line.source)
    if levels is None or tank is None or tank.base_m is None or not line.dry_run_m:
        return levels
    low_m = min(max(levels.low_m, tank.base_m + line.dry_run_m), levels.full_m)
    return WaterLevels(levels.full_m, (levels.full_m + low_m) / 2.0, low_m)


def _worked(site: Site, base: PumpedLine, *, levels: WaterLevels) -> PumpedLine:
    line, peak_l_s = base.line, base.peak.flow_l_s
    asked_m = asked_head_m(line, peak_l_s)
    works = pump_works(line, levels.low_m, asked_m=asked_m, peak_l_s=peak_l_s)
    air_m = air_head_m(site.place.elevation_m or 0.0)
    kwh_m3 = _kwh_m3(line, works)
    source_m = _source_m(line, peak_l_s, works=works, water_m=levels.low_m)
    return replace(
        base,
        pump=works,
        tank=tank_works(line, flow_l_s=works.mean_l_s, air_m=air_m),
        outlets=tuple(_outlets(line, levels)),
        budget=worst_budget(line, source_m=source_m, peak_l_s=peak_l_s),
        largest_flow_l_s=_largest(line, levels),
        suction=_suction(site, line, levels=levels),
        kwh_m3=kwh_m3,
        kwh_day=None if kwh_m3 is None or base.l_day is None else kwh_m3 * base.l_day / 1000.0,
    )


def asked_head_m(line: Line, peak_l_s: float) -> float:
    """Head at which the pump must give the peak flow.

    Cut-in of a switch, the head a variable speed holds; on demand what the worst outlet needs.
    """
    if line.control == "on demand":
        short = worst_budget(line, source_m=0.0, peak_l_s=peak_l_s)
        return max(-short.spare_m, 0.0) if short else 0.0
    held = line.cut_in_m if line.control == "switch" else line.cut_out_m
    assert held is not None
    return held


def _source_m(line: Line, peak_l_s: float, *, works: PumpWorks, water_m: float) -> float:
    """Head the budget begins with: as the control holds it, on demand as the curve gives it."""
    if line.control != "on demand" or line.pump is None:
        return works.asked_m
    return head_out_m(line, min(peak_l_s, line.pump.curve[-1][0]), water_m=water_m)


def _heads_known(line: Line) -> bool:
    if line.control == "on demand":
        return True
    if line.control == "variable speed":
        return line.cut_out_m is not None
    return line.cut_in_m is not None and line.cut_out_m is not None


def _alone(site: Site, line: Line) -> bool:
    return sum(other.source == line.source for other in site.lines) == 1


def _outlets(line: Line, levels: WaterLevels) -> Iterator[ServedOutlet]:
    for outlet in line.outlets:
        if outlet.level_m is None:
            continue
        name = {outlet.name}
        low = solve(line_network(_least(line, levels), levels.low_m, running=name, dirty=True))
        most_line, water_m = _most(line, levels)
        high = solve(line_network(most_line, water_m, running=name))
        yield ServedOutlet(
            outlet,
            needs_of(outlet),
            least_m=low.pressure_m.get(outlet.name) or 0.0,
            least_l_s=low.outlet_l_s[outlet.name],
            most_m=high.pressure_m.get(outlet.name) or 0.0,
            most_l_s=high.outlet_l_s[outlet.name],
        )


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


def _largest(line: Line, levels: WaterLevels) -> float | None:
    """Flow with everything open at the highest pressure."""
    shut = set(unknown_levels(line))
    shut |= {one.name for one in line.troughs if one.valve_l_s is None or one.valve_m is None}
    running = {one.name for one in line.outlets} | {one.name for one in line.laterals}
    running = (running | {one.name for one in line.troughs}) - shut
    if not running:
        return None
    most_line, water_m = _most(line, levels)
    return sum(solve(line_network(most_line, water_m, running=running)).outlet_l_s.values())


def _speeds(line: Line, peak_l_s: float) -> Iterator[PipeSpeed]:
    yield _speed("main", line.main, flow_l_s=peak_l_s, row=line.main.material)
    if line.suction is not None:
        yield _speed("suction", line.suction, flow_l_s=peak_l_s, row="suction")
    for outlet in line.outlets:
        if outlet.branch is not None:
            flow = needs_of(outlet).flow_l_s
            row = outlet.branch.material
            yield _speed(f"branch to {outlet.name}", outlet.branch, flow_l_s=flow, row=row)


def _speed(what: str, pipe: Pipe, *, flow_l_s: float, row: str) -> PipeSpeed:
    known = table("pipe_speeds")
    most = read(f"{known[row if row in known else 'pvc'].value:g} ft/s", "speed")
    return PipeSpeed(what, pipe, flow_l_s, speed_m_s(flow_l_s, pipe.bore_mm), most)


def _suction(site: Site, line: Line, *, levels: WaterLevels) -> SuctionHead | None:
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


def _kwh_m3(line: Line, works: PumpWorks) -> float | None:
    if line.pump is None or line.pump.input_w is None or works.mean_l_s <= 0.0:
        return None
    return energy_kwh_m3(works.mean_l_s, line.pump.input_w)


def _unknown(site: Site, line: Line, *, levels: WaterLevels | None) -> Iterator[str]:
    """What is not known of a line, in words."""
    tank = line.pressure_tank
    yield from (f"level of {name!r}" for name in unknown_levels(line))
    missing = {
        f"levels of tank {line.source!r}": levels is None,
        "level of the pump": line.pump_m is None,
        "cut-in and cut-out": not _heads_known(line),
        "height above the sea": site.place.elevation_m is None,
        "dry-run cut-off": line.dry_run_m is None,
        "air of the pressure tank": tank is not None and tank.precharge_m is None,
        "suction head the pump needs": line.pump is not None and line.pump.npsh_m is None,
        "check valve": line.check_valve is None,
        "water heater": line.heater is None,
        "drain of the yard hydrant": line.hydrant_drains is None and _outdoors(line),
    }
    yield from (what for what, unknown in missing.items() if unknown)


def _outdoors(line: Line) -> bool:
    return any(outlet.fixture == "hose bibb" for outlet in line.outlets)
