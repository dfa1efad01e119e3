"""Everything that stands on the lines with a pump: peak flow, pressure at every tap, pump, tank."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from eavewell.hydraulics.line_network import WaterLevels, unknown_levels, water_levels
from eavewell.hydraulics.pressure_budget import Budget, worst_budget
from eavewell.hydraulics.pump_curve import energy_kwh_m3
from eavewell.hydraulics.service_drip import ServedLateral, served_laterals
from eavewell.hydraulics.service_outlets import ServedOutlet, largest_flow_l_s, served_outlets
from eavewell.hydraulics.service_peak import Peak, peak_of
from eavewell.hydraulics.service_pipes import PipeSpeed, SuctionHead, pipe_speeds, suction_head
from eavewell.hydraulics.service_pump import PumpWorks, head_out_m, pump_works
from eavewell.hydraulics.service_tank import TankWorks, tank_works
from eavewell.hydraulics.suction import air_head_m
from eavewell.site.line import Line
from eavewell.site.site import Site
from eavewell.storage.series import Series, uses_in_order


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
    laterals: tuple[ServedLateral, ...]
    budget: Budget | None
    largest_flow_l_s: float | None
    speeds: tuple[PipeSpeed, ...]
    suction: SuctionHead | None
    l_day: float | None
    kwh_m3: float | None
    kwh_day: float | None
    unknown: tuple[str, ...]


def mean_l_day(site: Site, water: Series) -> dict[str, float]:
    """What each use wants on an average day of the record."""
    means = water.demand_l.mean(axis=0)
    return {use.name: float(one) for use, one in zip(uses_in_order(site), means, strict=True)}


def serve(site: Site, l_day: Mapping[str, float] | None = None) -> tuple[PumpedLine, ...]:
    """Work out every line with a pump.

    l_day : use -> what it wants on an average day.
    """
    return tuple(
        _served(site, line, l_day=l_day or {}) for line in site.lines if line.pump is not None
    )


def _served(site: Site, line: Line, *, l_day: Mapping[str, float]) -> PumpedLine:
    peak, levels = peak_of(line), service_levels(site, line)
    base = PumpedLine(
        line=line,
        levels=levels,
        peak=peak,
        pump=None,
        tank=None,
        outlets=(),
        laterals=(),
        budget=None,
        largest_flow_l_s=None,
        speeds=tuple(pipe_speeds(line, peak.flow_l_s)),
        suction=None,
        l_day=_drawn_l_day(site, line, l_day=l_day),
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
        outlets=tuple(served_outlets(line, levels)),
        laterals=tuple(served_laterals(line, levels)),
        budget=worst_budget(line, source_m=source_m, peak_l_s=peak_l_s),
        largest_flow_l_s=largest_flow_l_s(line, levels),
        suction=suction_head(site, line, levels=levels),
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


def _drawn_l_day(site: Site, line: Line, *, l_day: Mapping[str, float]) -> float | None:
    """What the uses of its tank draw through a line; None where other lines' outlets share it.

    What waters plants or troughs on another line does not come through this one.
    """
    others = [one for one in site.lines if one is not line and one.source == line.source]
    if not l_day or any(one.outlets for one in others):
        return None
    elsewhere = {row.waters for one in others for row in one.laterals}
    elsewhere |= {trough.waters for one in others for trough in one.troughs}
    return sum(
        l_day.get(use.name, 0.0)
        for use in site.uses
        if use.draws_from[0] == line.source and use.name not in elsewhere
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
        "power of the pump's motor": _worn_by_starts(line),
        "suction head the pump needs": line.pump is not None and line.pump.npsh_m is None,
        "check valve": line.check_valve is None,
        "water heater": line.heater is None,
        "drain of the yard hydrant": line.hydrant_drains is None and _outdoors(line),
    }
    yield from (what for what, unknown in missing.items() if unknown)


def _worn_by_starts(line: Line) -> bool:
    """Whether starts and runs cannot be judged for want of the motor's power."""
    starts = line.control == "switch" and line.pressure_tank is not None
    return starts and line.pump is not None and line.pump.motor_w is None


def _outdoors(line: Line) -> bool:
    return any(outlet.fixture == "hose bibb" for outlet in line.outlets)
