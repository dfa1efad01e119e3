"""A water line as a net: the tank, the main with its branches, and everything that is open."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from eavewell.faults import OutOfRange
from eavewell.hydraulics.friction import developed_length_m, fittings_k, roughness_c
from eavewell.hydraulics.levels import outlet_level_m
from eavewell.hydraulics.links import Link, Node
from eavewell.hydraulics.network import Network
from eavewell.site.line import InLine, Line
from eavewell.site.outlet import Emitter, Lateral, Outlet, Trough
from eavewell.site.pipe import Pipe
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.tables import rows
from eavewell.units import read

SOURCE, START = "water in the tank", "start of the main"
Running = Outlet | Lateral | Trough
# Two places nearer to each other along the main than this are one.
SAME_PLACE_M = 0.01
LEAST_EXPONENT = 0.2
# Flow through a plain hole goes with the root of its head.
HOLE = 0.5


@dataclass(frozen=True, slots=True)
class Needs:
    """What an outlet needs: flow at a head."""

    flow_l_s: float
    head_m: float

    @property
    def k(self) -> float:
        """Of the open outlet, flow = k sqrt(head)."""
        return float(self.flow_l_s / self.head_m**0.5)


@dataclass(frozen=True, slots=True)
class WaterLevels:
    """Levels of the water in a line's tank, above the datum: full, half, and just above empty."""

    full_m: float
    half_m: float
    low_m: float


def needs_of(outlet: Outlet) -> Needs:
    """Flow and head an outlet needs, stated or by tables/outlets.csv.

    Raises OutOfRange for a fixture that the table does not know and no flow and head are stated.
    """
    table = {row["fixture"]: row for row in rows("outlets")}
    row = table.get(outlet.fixture)
    flow, head = outlet.needs_l_s, outlet.needs_m
    if row is None and (flow is None or head is None):
        raise OutOfRange(
            f"outlet {outlet.name!r}: fixture {outlet.fixture!r} is not known; state needs_flow "
            f"and needs_pressure, or take one of {', '.join(table)}."
        )
    if row is not None:
        flow = read(f"{row['needs_gpm']} gal/min", "flow") if flow is None else flow
        head = read(f"{row['needs_psi']} psi", "pressure") if head is None else head
    assert flow is not None
    assert head is not None
    return Needs(flow, max(head, 0.01))


def water_levels(site: Site, line: Line) -> WaterLevels | None:
    """Water levels between which a line's tank works; None where its levels are unknown.

    Low is the level of the outlet it leaves by, or of the reserve that ends its use.
    """
    tank = {tank.name: tank for tank in site.tanks}.get(line.source)
    if tank is None or tank.base_m is None or tank.shape is None:
        return None
    full_m = tank.base_m + (tank.overflow_m if tank.overflow_m is not None else tank.shape.height_m)
    low_m = leaves_m(tank, line)
    if low_m is None or low_m >= full_m:
        return None
    return WaterLevels(full_m, (full_m + low_m) / 2.0, low_m)


def leaves_m(tank: Tank, line: Line) -> float | None:
    """Level at which a line leaves its tank; None where unknown."""
    outlet_m = outlet_level_m(tank)
    if line.level_m is None or outlet_m is None:
        return outlet_m if line.level_m is None else line.level_m
    return max(line.level_m, outlet_m)


def unknown_levels(line: Line) -> tuple[str, ...]:
    """Names of the outlets, laterals and troughs whose level is not known."""
    outlets = (one.name for one in line.outlets if one.level_m is None)
    laterals = (one.name for one in line.laterals if one.level_m is None)
    troughs = (one.name for one in line.troughs if one.level_m is None)
    return (*outlets, *laterals, *troughs)


def line_network(
    line: Line,
    water_m: float,
    *,
    running: Collection[str],
    dirty: bool = False,
) -> Network:
    """The net of a line with some of its outlets, laterals and troughs running.

    water_m : level of the water in its tank, above the datum.
    running : names of what is open; the rest is shut and left out. Their levels must be known.
    dirty   : filters as they are when they must be changed.
    """
    nodes, links = [Node(SOURCE, head_m=water_m)], list(_to_main(line, dirty=dirty))
    nodes += [Node(link.end) for link in links]
    open_ = _running(line, running)
    places = _places(_place_m(line, one.at_m) for one in open_)
    kept = sorted(set(places.values()))
    nodes += [Node(_at(place)) for place in kept]
    links += _main(line.main, kept)
    most_m = water_m + (line.pump.shut_off_m if line.pump else 0.0)
    for one in open_:
        at = _at(places[_place_m(line, one.at_m)])
        more_nodes, more_links = _branch(one, at, most_m=most_m)
        nodes += more_nodes
        links += more_links
    return Network(tuple(nodes), tuple(links))


def pipe_link(name: str, ends: tuple[str, str], *, pipe: Pipe, one_way: bool = False) -> Link:
    """A pipe with its fittings as a link."""
    return Link(
        name,
        *ends,
        bore_mm=pipe.bore_mm,
        length_m=developed_length_m(pipe),
        roughness_c=roughness_c(pipe.material),
        k=fittings_k(pipe),
        one_way=one_way,
    )


def lateral_nodes(lateral: Lateral) -> tuple[str, ...]:
    """Names of the nodes of a lateral's plants, in the order of flow."""
    return tuple(f"{lateral.name} plant {plant + 1}" for plant in range(lateral.plants))


def _running(line: Line, running: Collection[str]) -> list[Running]:
    everything: list[Running] = [*line.outlets, *line.laterals, *line.troughs]
    return [one for one in everything if one.name in running]


def _place_m(line: Line, at_m: float | None) -> float:
    place = line.main.length_m if at_m is None else at_m
    return min(max(place, SAME_PLACE_M), line.main.length_m)


def _places(places_m: Iterable[float]) -> dict[float, float]:
    """Each place along the main, and the first of those that are one with it."""
    found: dict[float, float] = {}
    kept_m = -SAME_PLACE_M
    for place_m in sorted(set(places_m)):
        if place_m - kept_m >= SAME_PLACE_M:
            kept_m = place_m
        found[place_m] = kept_m
    return found


def _at(place_m: float) -> str:
    return f"main at {place_m:.3f} m"


def _to_main(line: Line, *, dirty: bool) -> Iterator[Link]:
    """Suction, pump and what stands in the line, one after the other."""
    at = SOURCE
    if line.suction is not None and line.suction.length_m > 0.0:
        yield pipe_link("suction", (at, "eye of the pump"), pipe=line.suction)
        at = "eye of the pump"
    if line.pump is not None:
        yield Link("pump", at, "pump's outlet", curve=line.pump.curve)
        at = "pump's outlet"
    for thing in line.in_line:
        yield _lost_in(thing, at, dirty=dirty)
        at = f"after {thing.name}"
    yield Link("into the main", at, START, loss_s2=1e-9, one_way=bool(line.check_valve))


def _lost_in(thing: InLine, at: str, *, dirty: bool) -> Link:
    lost_m = thing.dirty_m if dirty else thing.clean_m
    square = max(lost_m / thing.rated_l_s**2, 1e-9)
    return Link(thing.name, at, f"after {thing.name}", loss_s2=square)


def _main(pipe: Pipe, places_m: list[float]) -> Iterator[Link]:
    """The main, cut at its branches; its fittings count in proportion to length."""
    at, before_m = START, 0.0
    for place_m in places_m:
        share = (place_m - before_m) / pipe.length_m
        yield Link(
            f"main to {place_m:.2f} m",
            at,
            _at(place_m),
            bore_mm=pipe.bore_mm,
            length_m=max(share * developed_length_m(pipe), SAME_PLACE_M / 10.0),
            roughness_c=roughness_c(pipe.material),
            k=share * fittings_k(pipe),
        )
        at, before_m = _at(place_m), place_m


def _branch(one: Running, at: str, *, most_m: float) -> tuple[list[Node], list[Link]]:
    """most_m : level to which the water could rise in the branch."""
    if isinstance(one, Lateral):
        return _lateral(one, at, most_m=most_m)
    level_m, k = one.level_m or 0.0, _open_k(one)
    if one.branch is None:
        through = Link(f"to {one.name}", at, one.name, loss_s2=1e-9)
    else:
        through = pipe_link(f"to {one.name}", (at, one.name), pipe=one.branch)
    return [Node(one.name, level_m, emitter_k=k)], [through]


def _open_k(one: Outlet | Trough) -> float:
    if isinstance(one, Outlet):
        return one.count * needs_of(one).k
    if one.valve_l_s is None or one.valve_m is None:
        raise OutOfRange(f"trough {one.name!r}: the flow of its valve is not known.")
    return float(one.valve_l_s / one.valve_m**0.5)


def _lateral(lateral: Lateral, at: str, *, most_m: float) -> tuple[list[Node], list[Link]]:
    """One node a plant; level changes evenly from the first to the last."""
    names, first_m = lateral_nodes(lateral), lateral.level_m or 0.0
    last_m = first_m if lateral.far_level_m is None else lateral.far_level_m
    emitter = lateral.emitter
    exponent = _exponent(emitter, most_m - min(first_m, last_m))
    k = lateral.each * emitter.rated_l_h / 3600.0 / emitter.rated_m**exponent
    step_m = (last_m - first_m) / max(lateral.plants - 1, 1)
    nodes = [
        Node(name, first_m + row * step_m, emitter_k=k, emitter_x=exponent)
        for row, name in enumerate(names)
    ]
    links = [_to_first_plant(lateral, at, first=names[0])]
    links += [
        Link(
            f"{before} on",
            before,
            name,
            bore_mm=lateral.bore_mm,
            length_m=lateral.spacing_m,
            roughness_c=roughness_c(lateral.material),
        )
        for before, name in pairwise(names)
    ]
    return nodes, links


def _exponent(emitter: Emitter, head_m: float) -> float:
    """One that keeps its flow counts as one that nearly does; short of its rated head as a hole.

    head_m : the most there can be at any plant.
    """
    if emitter.exponent >= LEAST_EXPONENT:
        return emitter.exponent
    return LEAST_EXPONENT if head_m >= emitter.rated_m else HOLE


def _to_first_plant(lateral: Lateral, at: str, *, first: str) -> Link:
    if lateral.feed is None:
        return Link(f"to {lateral.name}", at, first, loss_s2=1e-9)
    return pipe_link(f"to {lateral.name}", (at, first), pipe=lateral.feed)
