"""Pipes on the plan with their sizes, lengths and falls; overflows to where they let go."""

from collections.abc import Iterator
from math import atan2, degrees, hypot

from eavewell.drawings.boxes import Box
from eavewell.drawings.letters import shortened
from eavewell.drawings.marks import Dimension, Leader, Mark, Point, Stroke, Symbol
from eavewell.drawings.plan_places import Places, Stand
from eavewell.drawings.sizes_called import pipe_called
from eavewell.hydraulics.pipe_tree import PipeTree, fall_of, pipe_tree
from eavewell.site.lift import Lift
from eavewell.site.line import Line
from eavewell.site.outlet import Lateral, Outlet, Trough
from eavewell.site.pipe import PipeRun
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.tables import texts
from eavewell.treatment.label_places import fixture_wears
from eavewell.units import show

WORDS = texts.words("sheets")
SIGN_MM, LONGEST_SHARE, LONGEST_M = 3.0, 0.7, 12.0
End = Outlet | Lateral | Trough


def pipes_on_plan(site: Site, where: Places) -> Iterator[Mark]:
    """Every pipe between things that have a place."""
    yield from _runs(site, where)
    yield from _lifts(site, where)
    yield from _lines(site, where)
    yield from _spills(site, where)


def _runs(site: Site, where: Places) -> Iterator[Mark]:
    tree = pipe_tree(site)
    for at, run in enumerate(site.runs):
        if way := where.ways.get(run.name):
            yield from _set_out(run, way, words=_run_words(run, tree, system=site.place.show))
            continue
        target = where.stores.get(_store_of(tree, run))
        if target is None:
            continue
        for name in run.carries:
            if name in where.roofs:
                yield from _run(run, where, name=name, target=target, at=at)
                words = _run_words(run, tree, system=site.place.show)
        if any(name in where.roofs for name in run.carries):
            first = where.roof(next(name for name in run.carries if name in where.roofs))
            tip = _down(first), -0.25 * where.gap_m
            yield Leader("text", tip, words, of=f"pipe {run.name}")
    yield from _unstated(site, where)


def _set_out(run: PipeRun, way: tuple[Point, ...], *, words: str) -> Iterator[Mark]:
    of, middle = f"pipe {run.name}", len(way) // 2
    yield Stroke("buried" if run.cover_m else "pipe", way, of=of)
    (x, y), (u, v) = way[middle - 1], way[middle]
    yield _flow(way[-2], way[-1], of=of)
    yield Leader("text", ((x + u) / 2.0, (y + v) / 2.0), words, of=of)


def _store_of(tree: PipeTree, run: PipeRun) -> str:
    """The store that a run's water comes to at last."""
    *_, last = (run, *tree.down_from(run))
    return last.to


def _down(roof: Box) -> float:
    """Where a building's downspout stands, near its right corner."""
    return roof.left + 0.8 * (roof.right - roof.left)


def _run(run: PipeRun, where: Places, *, name: str, target: Stand, at: int) -> Iterator[Mark]:
    x, into, low = _down(where.roof(name)), target.boxes[0], where.roof(name).low
    half = low - (0.4 + 0.15 * at) * where.gap_m
    across = min(0.15 * at, 0.45) * (into.right - into.left)
    end = target.wall(0, (into.left + into.right) / 2.0 + across, above=True)
    points = ((x, low), (x, half), (end[0], half), end)
    of = f"pipe {run.name}"
    yield Stroke("buried" if run.cover_m else "pipe", points, of=of)
    yield _flow(points[1], points[2], of=of)


def _run_words(run: PipeRun, tree: PipeTree, *, system: Show) -> str:
    name, size = shortened(run.name), pipe_called(run.pipe, system)
    if run.held_full:
        return WORDS.say("plan_pipes.run_words.held_full", name=name, size=size)
    fall = fall_of(tree, run)
    falls = (
        WORDS.say("plan_pipes.run_words.fall_unknown")
        if fall is None
        else WORDS.say("plan_pipes.run_words.falls", fall=show(fall, "fall", system=system))
    )
    return f"{name}: {size}, {falls}"


def _unstated(site: Site, where: Places) -> Iterator[Mark]:
    """Roofs that drain to a store by a pipe that nobody described."""
    piped = {name for run in site.runs for name in run.carries}
    for roof in site.roofs:
        if roof.drains_to not in where.stores or roof.name in piped:
            continue
        into = where.stores[roof.drains_to].boxes[0]
        x, y = _down(where.roof(roof.name)), -0.5 * where.gap_m
        middle = (into.left + into.right) / 2.0
        of = f"roof {roof.name}"
        yield Stroke("unknown", ((x, 0.0), (x, y), (middle, y), (middle, into.high)), of=of)
        words = WORDS.say("plan_pipes.unstated.from_pipe_not_stated", name=shortened(roof.name))
        yield Leader("unknown", ((x + middle) / 2.0, y), words, of=of)


def _lifts(site: Site, where: Places) -> Iterator[Mark]:
    for lift in site.lifts:
        source, target = where.stores.get(lift.source), where.stores.get(lift.target)
        if source is None or target is None:
            continue
        of, y = f"lift {lift.name}", min(source.box.low, target.box.low) - 0.3 * where.gap_m
        start = source.boxes[-1].left + 0.7 * (source.boxes[-1].right - source.boxes[-1].left)
        end = target.boxes[0].left + 0.3 * (target.boxes[0].right - target.boxes[0].left)
        points = (
            source.wall(-1, start, above=False),
            (start, y),
            (end, y),
            target.wall(0, end, above=False),
        )
        yield Stroke("pipe" if lift.riser else "unknown", points, of=of)
        yield _flow(points[1], points[2], of=of)
        middle = ((start + end) / 2.0, y)
        layer = "text" if lift.riser else "unknown"
        yield Leader(layer, middle, _lift_words(lift, site.place.show), of=of)


def _lift_words(lift: Lift, system: Show) -> str:
    size = (
        pipe_called(lift.riser, system)
        if lift.riser
        else WORDS.say("plan_pipes.lift_words.pipe_not_stated")
    )
    return f"{shortened(lift.name)}: {size}"


def _lines(site: Site, where: Places) -> Iterator[Mark]:
    leaving: dict[str, int] = {}
    low = min((stand.box.low for stand in where.stores.values()), default=0.0)
    below = 0
    for line in site.lines:
        stand = where.stores.get(line.source)
        if stand is None:
            continue
        if _serves_a_building(line):
            yield from _indoors(line, stand, where=where, system=site.place.show)
            continue
        at = leaving[line.source] = leaving.get(line.source, -1) + 1
        y = low - (0.4 + 0.45 * below) * where.gap_m
        below += 1
        yield from _outdoors(line, stand, where=where, at=at, y=y, system=site.place.show)


def _serves_a_building(line: Line) -> bool:
    return any(fixture_wears().get(one.fixture, "tap") != "hose" for one in line.outlets)


def _indoors(line: Line, stand: Stand, *, where: Places, system: Show) -> Iterator[Mark]:
    """From the tank to the nearest wall."""
    of, seen = f"line {line.name}", where.buildings
    last = stand.boxes[-1]
    start = stand.wall(-1, last.left + 0.25 * (last.right - last.left), above=True)
    x = min(max(start[0], seen.left + 0.1), seen.right)
    half = -0.7 * where.gap_m
    points = (start, (start[0], half), (x, half), (x, 0.0))
    yield Stroke("pipe", points, of=of)
    yield _flow(points[2], points[3], of=of)
    words = WORDS.say(
        "plan_pipes.indoors.into_building",
        name=shortened(line.name),
        main=pipe_called(line.main, system),
    )
    yield Leader("text", (x, -0.2 * where.gap_m), words, of=of)


def _outdoors(
    line: Line, stand: Stand, *, where: Places, at: int, y: float, system: Show
) -> Iterator[Mark]:
    """As long as it is, but for one that would shrink all the rest: that is drawn short."""
    of = f"line {line.name}"
    last = stand.boxes[-1]
    x = last.left + (0.8 - 0.7 * at / (at + 1)) * (last.right - last.left)
    most = max(LONGEST_SHARE * (where.buildings.right - where.buildings.left), LONGEST_M)
    left = max(line.main.length_m - (stand.box.low - y), where.gap_m)
    end = (x + min(left, most), y)
    yield Stroke("pipe", (stand.wall(-1, x, above=False), (x, y), end), of=of)
    if left > most:
        yield Symbol(
            "fitting",
            ((x + end[0]) / 2.0, y),
            "cut short",
            SIGN_MM,
            of=of,
        )
    short = WORDS.say("plan_pipes.outdoors.drawn_short") if left > most else ""
    words = f"{shortened(line.name)}: {pipe_called(line.main, system)}{short}"
    yield Leader("text", (x + 0.4 * (end[0] - x), y), words, of=of)
    yield from _ends(line, end, step=0.5 * where.gap_m, of=of, system=system)


def _ends(line: Line, end: Point, *, step: float, of: str, system: Show) -> Iterator[Mark]:
    ends: tuple[End, ...] = (*line.outlets, *line.laterals, *line.troughs)
    for at, one in enumerate(ends):
        place = (end[0] + at * step, end[1])
        if at:
            yield Stroke("pipe", ((place[0] - step, end[1]), place), of=of)
        yield Symbol("fitting", place, _sign(one), SIGN_MM, of=of)
        yield Leader("text", place, _end_words(one, system), of=of)


def _sign(one: End) -> str:
    if isinstance(one, Outlet):
        return "hose" if fixture_wears().get(one.fixture) == "hose" else "tap"
    return "drip" if isinstance(one, Lateral) else "trough"


def _end_words(one: End, system: Show) -> str:
    name = shortened(one.name)
    if isinstance(one, Lateral):
        return WORDS.say(
            "plan_pipes.end_words.plants_apart",
            name=name,
            plants=one.plants,
            spacing=show(one.spacing_m, "length", system=system),
        )
    if isinstance(one, Outlet) and one.at_m is not None:
        return WORDS.say(
            "plan_pipes.end_words.along", name=name, at=show(one.at_m, "length", system=system)
        )
    return name


def _spills(site: Site, where: Places) -> Iterator[Mark]:
    for stand in where.stores.values():
        if stand.tank.overflow_to in where.stores:
            yield from _into_store(stand, where.stores[stand.tank.overflow_to])
        elif stand.tank.overflow_to or stand.tank.fittings.overflow:
            yield from _let_go(stand, where, system=site.place.show)


def _into_store(stand: Stand, into: Stand) -> Iterator[Mark]:
    """Straight across where they stand beside each other, else across and up or down."""
    of, y = f"tank {stand.tank.name}", (stand.box.low + stand.box.high) / 2.0
    from_right = stand.box.left > into.box.left
    target = into.boxes[-1 if from_right else 0]
    start = (stand.box.left if from_right else stand.box.right, y)
    points: tuple[Point, ...]
    if target.low < y < target.high:
        points = (start, (target.right if from_right else target.left, y))
    else:
        x = target.left + 0.35 * (target.right - target.left)
        points = (start, (x, y), (x, target.low if y < target.low else target.high))
    yield Stroke("overflow", points, of=of)
    yield _flow(points[0], points[1], of=of, layer="overflow")
    words = WORDS.say(
        "plan_pipes.into_store.overflow",
        name=shortened(stand.tank.name),
        into=shortened(into.tank.name),
    )
    yield Leader("text", points[1], words, of=of)


def _let_go(stand: Stand, where: Places, *, system: Show) -> Iterator[Mark]:
    """From the tank's far side to a place as far from the buildings as is stated."""
    of, over = f"tank {stand.tank.name}", stand.tank.fittings.overflow
    away = over.away_m if over else None
    x = stand.box.right
    start = (x, stand.box.low + 0.5 * (stand.box.high - stand.box.low))
    aside = (x + 0.6 * where.gap_m, start[1])
    y = -away if away is not None else stand.box.low - where.gap_m
    end = (aside[0], y)
    layer = "overflow" if away is not None else "unknown"
    yield Stroke(layer, (start, aside, end), of=of)
    yield _flow(aside, end, of=of, layer="overflow")
    words = _let_go_words(stand, system=system)
    yield Leader("text" if away is not None else "unknown", end, words, of=of)
    if away is not None:
        far = show(away, "length", system=system)
        yield Dimension(
            "dimension", (x + 0.9 * where.gap_m, y), (x + 0.9 * where.gap_m, 0.0), far, 0.0
        )


def _let_go_words(stand: Stand, *, system: Show) -> str:
    tank, over = stand.tank, stand.tank.fittings.overflow
    kind = "spillway" if tank.is_sump else "overflow"
    to = (
        WORDS.say("plan_pipes.let_go_words.to", overflow_to=shortened(tank.overflow_to))
        if tank.overflow_to
        else WORDS.say("plan_pipes.let_go_words.destination_unknown")
    )
    size = ""
    if over is not None and over.pipe is not None:
        many = f"{over.count} x " if over.count > 1 else ""
        size = f": {many}{pipe_called(over.pipe, system)}"
    if over is not None and over.fall is not None:
        size += WORDS.say(
            "plan_pipes.let_go_words.falls", fall=show(over.fall, "fall", system=system)
        )
    unknown = (
        ""
        if over is not None and over.away_m is not None
        else WORDS.say("plan_pipes.let_go_words.distance_unknown")
    )
    return WORDS.say(
        "plan_pipes.let_go_words.of",
        kind=kind,
        name=shortened(tank.name),
        to=to,
        size=size,
        unknown=unknown,
    )


def _flow(start: Point, end: Point, *, of: str, layer: str = "pipe") -> Mark:
    """An arrow in the middle of a way."""
    way = degrees(atan2(end[1] - start[1], end[0] - start[0]))
    if hypot(end[0] - start[0], end[1] - start[1]) < 1e-6:
        way = -90.0
    middle = ((start[0] + end[0]) / 2.0, (start[1] + end[1]) / 2.0)
    return Symbol(layer, middle, "flow", 2.2, way, of=of)
