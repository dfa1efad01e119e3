"""One number for each thing that is worked, read or looked after, in the order of flow.

Schematic, valve chart and printed valve tags all take their numbers from here.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache

from eavewell.drawings.held import Held, held
from eavewell.hydraulics.levels import above_floor_m, outlet_level_m, overflow_level_m
from eavewell.site.barrier import Lamp
from eavewell.site.lift import Lift
from eavewell.site.line import Line
from eavewell.site.outlet import Outlet
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.tables import rows, texts
from eavewell.treatment.label_places import fixture_wears

WORDS = texts.words("sheets")


@dataclass(frozen=True, slots=True)
class Tag:
    """One numbered thing.

    kind  : a row of tables/tag_kinds.csv. name : its own, or of what it serves.
    of    : the thing it belongs to, as drawings name it: "tank main", "line house water".
    count : how many wear the number. level_m : above the datum; None unknown or none.
    holds : reserves and ration stages that it holds, in words. branch : name of the outlet, trough
            or lateral whose branch it stands on; "" for none.
    """

    number: int
    kind: str
    name: str
    of: str
    count: int = 1
    level_m: float | None = None
    holds: tuple[str, ...] = ()
    branch: str = ""

    @property
    def symbol(self) -> str:
        """Its sign, a row of tables/symbols.csv."""
        return _kinds()[self.kind][0]

    @property
    def closes(self) -> bool:
        """Whether a person opens and shuts it."""
        return _kinds()[self.kind][1]

    @property
    def normally(self) -> str:
        """How it stands on an ordinary day: open or shut; "" for what is not shut."""
        return _kinds()[self.kind][2]

    @property
    def words(self) -> str:
        """What it is, for a list."""
        many = f"{self.count} x " if self.count > 1 else ""
        said = self.name if self.name.casefold() == self.kind else f"{self.kind}, {self.name}"
        return f"{many}{said}"


@cache
def _kinds() -> dict[str, tuple[str, bool, str]]:
    return {
        row["kind"]: (row["symbol"], row["closes"] == "yes", row["normally"])
        for row in rows("tag_kinds")
    }


def tags(site: Site) -> tuple[Tag, ...]:
    """Every tag of a site, numbered from 1: roofs, collection pipes, stores with lifts, lines."""
    by_line, by_other = _held(site)
    numbered = (replace(tag, number=at) for at, tag in enumerate(_walk(site), 1))
    return tuple(
        replace(tag, holds=_holds(tag, by_line=by_line, by_other=by_other)) for tag in numbered
    )


def stores_in_order(site: Site) -> tuple[Tank, ...]:
    """Tanks in the order of flow: what lifts or spills into another stands before it."""
    left, found = list(site.tanks), list[Tank]()
    while left:
        names = {tank.name for tank in left}
        lifted = {lift.target for lift in site.lifts if lift.source in names - {lift.target}}
        first = next((tank for tank in left if tank.name not in lifted), left[0])
        found.append(first)
        left.remove(first)
    return tuple(found)


def lines_in_order(site: Site) -> tuple[Line, ...]:
    """Lines by the order of the stores they leave."""
    order = {tank.name: at for at, tank in enumerate(stores_in_order(site))}
    return tuple(sorted(site.lines, key=lambda line: order.get(line.source, len(order))))


def _held(site: Site) -> tuple[dict[str, list[Held]], dict[tuple[str, str], list[Held]]]:
    """What is held, by the line and by the float that hold it."""
    by_line: dict[str, list[Held]] = {}
    by_other: dict[tuple[str, str], list[Held]] = {}
    for one in held(site):
        for name in one.lines:
            by_line.setdefault(name, []).append(one)
        for key in one.floats:
            by_other.setdefault(key, []).append(one)
    return by_line, by_other


def _holds(
    tag: Tag,
    *,
    by_line: dict[str, list[Held]],
    by_other: dict[tuple[str, str], list[Held]],
) -> tuple[str, ...]:
    if tag.kind == "outlet valve":
        return tuple(one.words for one in by_line.get(tag.name, ()))
    if tag.kind in ("floats", "float valve"):
        return tuple(one.words for one in by_other.get((tag.kind, tag.name), ()))
    return ()


def _walk(site: Site) -> Iterator[Tag]:
    for roof in site.roofs:
        if roof.drains_to:
            of = f"roof {roof.name}"
            for screen in roof.screens:
                yield Tag(
                    0, "screen", WORDS.say("tags.walk.of", name=screen.name, roof=roof.name), of
                )
            if roof.first_flush is not None:
                yield Tag(0, "first flush", roof.name, of)
    for run in site.runs:
        if run.drain_mm:
            yield Tag(0, "pipe drain", run.name, f"pipe {run.name}", level_m=run.low_m)
    for tank in stores_in_order(site):
        yield from _at_tank(site, tank)
        for lift in site.lifts:
            if lift.source == tank.name:
                yield from _at_lift(site, lift)
    for line in lines_in_order(site):
        yield from _at_line(site, line)


def _at_tank(site: Site, tank: Tank) -> Iterator[Tag]:
    of, name, fit = f"tank {tank.name}", tank.name, tank.fittings
    mains = [lift for lift in site.lifts if lift.source == "mains" and lift.target == name]
    if fit.make_up_l_s or mains:
        yield Tag(0, "make-up", name, of)
    if any(hauling.to == name for hauling in site.hauling):
        yield Tag(0, "truck fill", name, of)
    kind = "sump" if tank.is_sump else "tank"
    yield Tag(0, kind, name, of, count=tank.count, level_m=tank.base_m)
    if tank.count > 1 and fit.link is not None and fit.link.valves:
        level_m = above_floor_m(tank, fit.link.level_m)
        yield Tag(0, "link valve", name, of, count=tank.count, level_m=level_m)
    if fit.drain_mm:
        yield Tag(0, "tank drain", name, of, count=tank.count, level_m=tank.base_m)
    if tank.overflow_m is not None or fit.overflow is not None or tank.overflow_to:
        kind = "spillway" if tank.is_sump else "overflow"
        yield Tag(0, kind, name, of, level_m=overflow_level_m(tank))
    drawn = any(name in use.draws_from for use in site.uses)
    if drawn and not any(line.source == name for line in site.lines):
        yield Tag(0, "tank tap", name, of, level_m=outlet_level_m(tank))


def _at_lift(site: Site, lift: Lift) -> Iterator[Tag]:
    of = f"lift {lift.name}"
    source = {tank.name: tank for tank in site.tanks}.get(lift.source)
    if lift.start_m is not None or lift.stop_m is not None or lift.target_start_share < 1.0:
        level_m = above_floor_m(source, lift.start_m) if source else None
        yield Tag(0, "floats", lift.name, of, level_m=level_m)
    count = 2 if lift.second_pump else 1
    pump = (
        WORDS.say("tags.at_lift.of", name=lift.pump.name, lift=lift.name)
        if lift.pump
        else lift.name
    )
    yield Tag(0, "pump", pump, of, count=count)
    if lift.check_valve:
        yield Tag(0, "check valve", lift.name, of, count=count)


def _at_line(site: Site, line: Line) -> Iterator[Tag]:
    of, tanks = f"line {line.name}", {tank.name: tank for tank in site.tanks}
    level_m = line.level_m
    if level_m is None and line.source in tanks:
        level_m = outlet_level_m(tanks[line.source])
    yield Tag(0, "outlet valve", line.name, of, level_m=level_m)
    if line.pump is not None:
        if line.check_valve:
            yield Tag(0, "check valve", line.name, of)
        yield Tag(0, "pump", line.pump.name, of, level_m=line.pump_m)
    yield from _in_line(line, of)
    valves = sum(count for name, count in line.main.fittings if name.endswith(" valve"))
    valves -= sum(count for name, count in line.main.fittings if name == "check valve")
    if valves:
        yield Tag(0, "line valve", line.name, of, count=valves)
    if line.expansion_tank:
        yield Tag(0, "expansion tank", line.name, of)
    if line.heater:
        yield Tag(0, "heater", line.name, of)
    yield from _ends(line, of)


def _in_line(line: Line, of: str) -> Iterator[Tag]:
    """What the water passes after the pump; the pressure tank where it stands."""
    tank = line.pressure_tank
    if tank is not None and not tank.after:
        yield Tag(0, "pressure tank", line.name, of, level_m=tank.level_m)
    for thing in line.in_line:
        if isinstance(thing.works, Lamp) and thing.works.shut_valve:
            yield Tag(0, "shut valve", f"before {thing.name}", of)
        yield Tag(0, thing.kind, thing.name, of)
        if thing.bypass:
            yield Tag(0, "bypass", f"round {thing.name}", of)
        if tank is not None and tank.after == thing.name:
            yield Tag(0, "pressure tank", line.name, of, level_m=tank.level_m)


def _ends(line: Line, of: str) -> Iterator[Tag]:
    for outlet in line.outlets:
        yield Tag(0, _kind_of(outlet), outlet.name, of, count=outlet.count, level_m=outlet.level_m)
    for lateral in line.laterals:
        if lateral.mesh_mm:
            yield Tag(0, "drip filter", lateral.name, of, branch=lateral.name)
        yield Tag(0, "drip line", lateral.name, of, level_m=lateral.level_m, branch=lateral.name)
    for trough in line.troughs:
        yield Tag(0, "float valve", trough.name, of, level_m=trough.level_m, branch=trough.name)


def _kind_of(outlet: Outlet) -> str:
    return fixture_wears().get(outlet.fixture, "tap")
