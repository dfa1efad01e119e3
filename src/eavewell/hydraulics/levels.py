"""The elevation schedule: every level of a site above one datum, in the order of flow."""

from collections.abc import Iterator
from dataclasses import dataclass

from eavewell.site.lift import Lift
from eavewell.site.line import Line
from eavewell.site.pipe import PipeRun
from eavewell.site.site import Site
from eavewell.site.tank import Tank


@dataclass(frozen=True, slots=True)
class Level:
    """One level above the site datum.

    thing   : what it belongs to, such as "tank 'main'". point : such as "overflow".
    level_m : None where it is unknown.
    """

    thing: str
    point: str
    level_m: float | None


def schedule(site: Site) -> tuple[Level, ...]:
    """Every level that the site file states or leaves unknown, from the eaves to the taps."""
    return (
        Level("ground", "at the tank", site.ground.level_m),
        Level("building", "lowest floor", site.ground.floor_m),
        *(Level(f"roof {roof.name!r}", "gutter outlet", roof.eave_m) for roof in site.roofs),
        *(level for run in site.runs for level in _of_run(run)),
        *(level for tank in site.tanks for level in _of_tank(tank)),
        *(level for lift in site.lifts for level in _of_lift(lift, site)),
        *(level for line in site.lines for level in _of_line(line, site)),
    )


def above_floor_m(tank: Tank, height_m: float | None) -> float | None:
    """A height above a tank's floor as a level above the datum; None where either is unknown."""
    if tank.base_m is None or height_m is None:
        return None
    return tank.base_m + height_m


def overflow_level_m(tank: Tank) -> float | None:
    """Level at which a tank begins to spill: its overflow, else its rim."""
    rim = tank.shape.height_m if tank.shape else None
    return above_floor_m(tank, rim if tank.overflow_m is None else tank.overflow_m)


def outlet_level_m(tank: Tank) -> float | None:
    """Level of a tank's outlet; its floor where no outlet is stated."""
    return above_floor_m(tank, tank.outlet_m or 0.0)


def _of_run(run: PipeRun) -> Iterator[Level]:
    thing = f"pipe {run.name!r}"
    yield Level(thing, "start", run.from_m)
    if run.held_full:
        yield Level(thing, "lowest opening", run.opening_m)
        yield Level(thing, "lowest point", run.low_m)
    yield Level(thing, "end", run.to_m)


def _of_tank(tank: Tank) -> Iterator[Level]:
    thing = f"{'sump' if tank.is_sump else 'tank'} {tank.name!r}"
    rim_m = tank.shape.height_m if tank.shape else None
    yield Level(thing, "floor", tank.base_m)
    yield Level(thing, "outlet", above_floor_m(tank, tank.outlet_m))
    if tank.fittings.inlet_m is not None:
        yield Level(thing, "inlet", above_floor_m(tank, tank.fittings.inlet_m))
    yield Level(thing, "spillway" if tank.is_sump else "overflow", overflow_level_m(tank))
    yield Level(thing, "rim", above_floor_m(tank, rim_m))


def _of_lift(lift: Lift, site: Site) -> Iterator[Level]:
    if lift.pump is None and lift.start_m is None:
        return
    thing, sumps = f"lift {lift.name!r}", {tank.name: tank for tank in site.tanks}
    if lift.source in sumps:
        yield Level(thing, "stops", above_floor_m(sumps[lift.source], lift.stop_m))
        yield Level(thing, "starts", above_floor_m(sumps[lift.source], lift.start_m))
    yield Level(thing, "lets go", lift.let_go_m)


def _of_line(line: Line, site: Site) -> Iterator[Level]:
    thing, known = f"line {line.name!r}", {tank.name: tank for tank in site.tanks}
    left_m = line.level_m
    if left_m is None and line.source in known:
        left_m = outlet_level_m(known[line.source])
    yield Level(thing, "leaves the tank", left_m)
    if line.pump is not None:
        yield Level(thing, "pump", line.pump_m)
    for outlet in line.outlets:
        yield Level(thing, outlet.name, outlet.level_m)
    for lateral in line.laterals:
        yield Level(thing, lateral.name, lateral.level_m)
    for trough in line.troughs:
        yield Level(thing, trough.name, trough.level_m)
