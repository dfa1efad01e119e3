"""Parts of what lifts and serves the water: pumps, filters, lamp, outlets, drip, troughs."""

from collections.abc import Iterator

from eavewell.cost.part_rows import row, stock_m_of
from eavewell.cost.pipe_parts import joins_of, pipe_parts
from eavewell.cost.stock import split, stock_of
from eavewell.site.barrier import ContactTank, Lamp
from eavewell.site.lift import Lift
from eavewell.site.line import InLine, Line
from eavewell.site.outlet import Lateral, Outlet, Trough
from eavewell.site.part import Part
from eavewell.site.pump import Pump

_LINE = "along the line"
_THREADED = 10  # joints of a pump set: pump, unions, tank, gauge, switch
# a thing in the line -> the parts it is bought as
_BOUGHT = {
    "filter": ("cartridge housing", "cartridge", "housing O-ring"),
    "carbon": ("cartridge housing", "carbon cartridge", "housing O-ring"),
    "lamp": ("lamp unit", "lamp", "lamp sleeve", "ground-fault outlet"),
    "softener": ("softener",),
    "neutraliser": ("neutraliser",),
    "chlorine": ("dosing pump", "ground-fault outlet"),
    "contact tank": ("contact tank",),
    "test point": ("test point",),
    "shut valve": ("shut valve",),
    "flow limiter": ("flow limiter",),
    "storage": ("line storage",),
    "meter": ("meter",),
    "backflow device": ("backflow device",),
    "other": ("other device",),
}
_SOLD_WITH = {
    "lamp": "the spare: the unit is sold with its own",
    "lamp sleeve": "the spare: the unit is sold with its own",
    "housing O-ring": "the spare: the housing is sold with its own",
}


def lift_parts(lift: Lift) -> Iterator[Part]:
    """A lift: pump, floats, riser and what keeps its water from running back."""
    where, at = f"lift {lift.name!r}", "at the sump"
    if lift.pump is not None:
        yield from _pump(lift.pump, where=where, stand=at, count=2 if lift.second_pump else 1)
        yield row("float switch", stock_of("floats a lift") + bool(lift.full_float), where=where)
    if lift.alarm:
        yield row("high-water alarm", 1, where=where, says="on a circuit of its own")
    if lift.riser is None:
        return
    yield from pipe_parts(lift.riser, where=where, stand=at)
    size = {"size": lift.riser.bore_mm, "stand": at}
    if lift.check_valve and not dict(lift.riser.fittings).get("check valve"):
        yield row("check valve", 1, where=where, **size)
    yield row("union", 1, where=where, joins=joins_of(lift.riser), **size)


def _pump(pump: Pump, *, where: str, stand: str, count: int = 1) -> Iterator[Part]:
    bought = {"jet": "jet pump", "submersible": "submersible pump"}.get(pump.kind, "sump pump")
    power = pump.name.removesuffix(f" {pump.kind}")
    yield row(bought, count, where=where, size=pump.motor_w, called=power, stand=stand)
    yield row(
        "ground-fault outlet", count, where=where, stand=stand, says="by a licensed electrician"
    )


def line_parts(line: Line) -> Iterator[Part]:
    """A line: pump set, what stands in it, its main, and everything on it."""
    where = f"line {line.name!r}"
    yield from _way_out(line)
    yield from pipe_parts(line.main, where=where, stand=_LINE)
    yield from _pump_set(line, where)
    for thing in line.in_line:
        yield from _in_line(thing, line)
    for outlet in line.outlets:
        yield from _outlet(outlet, line)
    for lateral in line.laterals:
        yield from _lateral(lateral, pumped=line.pump is not None)
    for trough in line.troughs:
        yield from _trough(trough)
    if line.expansion_tank:
        yield row("expansion tank", 1, where=where)


def _way_out(line: Line) -> Iterator[Part]:
    """Where a line leaves its tank: through the wall, with a valve of its own."""
    where, first = f"tank {line.source!r}", line.suction or line.main
    size = {"size": first.bore_mm, "says": f"for line {line.name!r}"}
    yield row("bulkhead fitting", 1, where=where, **size)
    yield row("tank valve", 1, where=where, **size)


def _pump_set(line: Line, where: str) -> Iterator[Part]:
    if line.pump is None:
        return
    at, tank = "at the pump", line.pressure_tank
    yield from _pump(line.pump, where=where, stand=at)
    if line.suction is not None:
        yield from pipe_parts(line.suction, where=f"suction of {where}", stand=at)
    size = {"size": line.main.bore_mm, "joins": joins_of(line.main)}
    yield row("union", 2, where=where, says="one on each side of the pump", **size)
    says = {"switch": "pressure switch", "on demand": "controller", "variable speed": "drive"}
    yield row("pump control", 1, where=where, says=says[line.control])
    yield row("pressure gauge", 1, where=where)
    yield row("thread tape", _THREADED / stock_of("joints a tape"), where=where)
    if line.check_valve and not _has_check(line):
        yield row("check valve", 1, where=where, size=line.main.bore_mm)
    if line.dry_run_m:
        yield row("dry-run cut-off", 1, where=where)
    if tank is not None:
        yield row("pressure tank", 1, where=where, size=tank.size_l)


def _has_check(line: Line) -> bool:
    pipes = [line.main, *([line.suction] if line.suction else [])]
    return any(dict(pipe.fittings).get("check valve") for pipe in pipes)


def _in_line(thing: InLine, line: Line) -> Iterator[Part]:
    where, works = f"{thing.kind} {thing.name!r}", thing.works
    if isinstance(works, Lamp):
        size = works.input_w
    elif isinstance(works, ContactTank):
        size = works.least_l
    else:
        size = None
    for part in _BOUGHT[thing.kind]:
        sized = {"meter", "backflow device", "shut valve"}
        own = line.main.bore_mm if part in sized else size
        says = thing.name if part.endswith("cartridge") else _SOLD_WITH.get(part, "")
        yield row(
            part, 1, where=where, size=None if part == "ground-fault outlet" else own, says=says
        )
    if isinstance(works, Lamp) and works.shut_valve:
        yield row("shut valve", 1, where=where, size=line.main.bore_mm)


def _outlet(outlet: Outlet, line: Line) -> Iterator[Part]:
    where, many = f"outlet {outlet.name!r}", outlet.count
    if outlet.branch is not None:
        yield from pipe_parts(outlet.branch, where=where, stand=_LINE, count=many)
        size = {"size": line.main.bore_mm, "joins": joins_of(line.main)}
        yield row("tee", many, where=where, stand=_LINE, says="for the branch", **size)
    if outlet.fixture in ("hose bibb", "hose by gravity"):
        yield row("hose bibb", many, where=where)
        if outlet.fixture == "hose bibb":
            yield row("vacuum breaker", many, where=where)
    elif outlet.fixture == "bucket tap":
        yield row("bucket tap", many, where=where)


def _lateral(lateral: Lateral, *, pumped: bool) -> Iterator[Part]:
    where, size = f"lateral {lateral.name!r}", {"size": lateral.bore_mm}
    length_m = lateral.plants * lateral.spacing_m
    lengths = split(length_m, stock_m_of("drip tube"))
    yield row("drip tube", length_m, where=where, lengths_m=lengths, **size)
    yield row("emitter", lateral.plants * lateral.each, where=where, says=lateral.emitter.name)
    yield row("tube end", 1, where=where, **size)
    if lateral.mesh_mm != 0.0:
        yield row("drip filter", 1, where=where)
    if pumped:
        yield row("pressure regulator", 1, where=where)
    if lateral.feed is not None:
        yield from pipe_parts(lateral.feed, where=where, stand=_LINE)


def _trough(trough: Trough) -> Iterator[Part]:
    where = f"trough {trough.name!r}"
    yield row("trough", 1, where=where, size=trough.volume_l)
    yield row("float valve", 1, where=where)
    if trough.limiter_l_s is not None:
        yield row("flow limiter", 1, where=where, stand="at the outlets")
    if trough.ramp:
        yield row("escape ramp", 1, where=where)
    if trough.branch is not None:
        yield from pipe_parts(trough.branch, where=where, stand=_LINE)
