"""Pipes between the pieces of a section: collection, lifts, lines to the taps, overflows."""

from collections.abc import Iterator

from eavewell.drawings.letters import shortened
from eavewell.drawings.marks import Leader, LevelMark, Mark, Point, Stroke, Symbol
from eavewell.drawings.pieces import level
from eavewell.drawings.section_ground import Row, known_or, profile, surface_m
from eavewell.drawings.section_stores import UNKNOWN_SPILL_M
from eavewell.hydraulics.levels import outlet_level_m, overflow_level_m
from eavewell.site.pipe import PipeRun
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.tables import texts

WORDS = texts.words("sheets")
STUB_M = 0.6


def pipes(site: Site, row: Row) -> Iterator[Mark]:
    """Every pipe that joins one piece to another."""
    yield from _runs(site, row)
    yield from _lifts(site, row)
    yield from _drawn(site, row, surface=profile(site, row))
    yield from _spills(site, row)


def _runs(site: Site, row: Row) -> Iterator[Mark]:
    """Collection pipes: dry ones fall straight, wet ones dip and rise at the tank."""
    ends: dict[tuple[str, float | None], tuple[Point, list[PipeRun]]] = {}
    for run in site.runs:
        store = row.stores.get(run.to)
        for name in run.carries:
            if store is None or name not in row.roofs:
                continue
            start = row.roofs[name].ports["down"]
            end_m = run.to_m if run.to_m is not None else start[1] - 0.1
            points = _way(run, start, end=(store.ports["left"][0], end_m))
            layer = "unknown" if run.to_m is None or run.from_m is None else "pipe"
            yield Stroke(layer, points, of=f"pipe {run.name}")
            yield from _run_levels(run, points, system=site.place.show)
            ends.setdefault((run.to, run.to_m), (points[-1], []))[1].append(run)
    yield from _run_ends(ends, system=site.place.show)
    yield from _unpiped(site, row)


def _unpiped(site: Site, row: Row) -> Iterator[Mark]:
    """Roofs whose pipe nobody described."""
    with_pipe = {name for run in site.runs for name in run.carries}
    for roof in site.roofs:
        if roof.drains_to in row.stores and roof.name not in with_pipe:
            start, store = row.roofs[roof.name].ports["down"], row.stores[roof.drains_to]
            top = store.ports["top"]
            points = (start, (store.ports["left"][0] + 0.1, start[1]), (top[0] - 0.1, top[1]))
            yield Stroke("unknown", points, of=f"roof {roof.name}")


def _way(run: PipeRun, start: Point, *, end: Point) -> tuple[Point, ...]:
    if run.held_full and run.low_m is not None:
        foot = end[0] - 0.35
        return (start, (start[0], run.low_m), (foot, run.low_m), (foot, end[1]), end)
    return start, (end[0] - 0.2, end[1] + 0.02), end


def _run_levels(run: PipeRun, points: tuple[Point, ...], *, system: Show) -> Iterator[LevelMark]:
    of = f"pipe {run.name}"
    yield level(
        points[0],
        WORDS.say("section_pipes.run_levels.start", name=shortened(run.name)),
        level_m=run.from_m,
        system=system,
        of=of,
    )
    if run.held_full:
        yield level(
            points[1],
            WORDS.say("section_pipes.run_levels.lowest", name=shortened(run.name)),
            level_m=run.low_m,
            system=system,
            of=of,
        )


def _run_ends(
    ends: dict[tuple[str, float | None], tuple[Point, list[PipeRun]]], *, system: Show
) -> Iterator[LevelMark]:
    """One mark where several pipes end at one level of one store."""
    for (_, level_m), (at, runs) in ends.items():
        names = " and ".join(dict.fromkeys(shortened(run.name) for run in runs))
        words = f"{names}, {'ends' if len(set(runs)) > 1 else 'end'}"
        yield level(at, words, level_m=level_m, system=system, of=f"pipe {runs[0].name}")


def _lifts(site: Site, row: Row) -> Iterator[Mark]:
    for lift in site.lifts:
        source, target = row.stores.get(lift.source), row.stores.get(lift.target)
        if source is None or target is None:
            continue
        top = target.ports["top"]
        let_go = known_or(lift.let_go_m, top[1] + 0.15)
        x_m, foot = source.ports["left"][0] + 0.3, source.ports["left"][1] + 0.15
        points = ((x_m, foot), (x_m, let_go + 0.1), (top[0], let_go + 0.1), (top[0], let_go))
        of = f"lift {lift.name}"
        yield Stroke("pipe", points, of=of)
        if lift.let_go_m is not None:
            yield level(
                points[-1],
                WORDS.say("section_pipes.lifts.lets_go", name=shortened(lift.name)),
                level_m=let_go,
                system=site.place.show,
                of=of,
            )


def _drawn(site: Site, row: Row, *, surface: tuple[Point, ...]) -> Iterator[Mark]:
    """From a store's outlet to the line that draws from it, through the ground."""
    tanks = {tank.name: tank for tank in site.tanks}
    for at, line in enumerate(site.lines):
        if line.source not in row.stores:
            continue
        start_x = row.stores[line.source].ports["right"][0]
        port = row.lines[line.name].ports["in"]
        leaves = line.level_m if line.level_m is not None else outlet_level_m(tanks[line.source])
        y, near, deep = known_or(leaves, port[1]), start_x + 0.2 + 0.1 * at, 0.25 + 0.12 * at
        way = [(start_x, y), (near, y)]
        bends = [x for x, _ in surface if near < x < port[0]]
        along = (near, *bends, port[0])
        way += [(x_m, min(surface_m(surface, x_m) - deep, y)) for x_m in along]
        yield Stroke("buried", (*way, port), of=f"line {line.name}")


def _spills(site: Site, row: Row) -> Iterator[Mark]:
    """Every overflow to where it ends: the ground, or a short way on to another store."""
    for tank in site.tanks:
        if not tank.overflow_to:
            continue
        of, known, ports = f"tank {tank.name}", overflow_level_m(tank), row.stores[tank.name].ports
        over = known_or(known, ports["top"][1] - UNKNOWN_SPILL_M)
        end_m = _spill_end_m(tank, row, over=over)
        end = known_or(end_m, known_or(site.ground.level_m, 0.0) + 0.1)
        start = ports["right"][0]
        x_m = start + 0.35 + 0.1 * sum(line.source == tank.name for line in site.lines)
        told = known is not None and end_m is not None
        way = ((start, over), (x_m, over), (x_m, end))
        yield Stroke("overflow" if told else "unknown", way, of=of)
        yield Symbol("overflow", (x_m, end), "flow", 2.6, -90.0, of=of)
        words = WORDS.say("section_pipes.spills.to", overflow_to=shortened(tank.overflow_to))
        words += "" if end_m is not None else WORDS.say("section_pipes.spills.level_unknown")
        yield Leader("text" if end_m is not None else "unknown", (x_m, end), words, of=of)


def _spill_end_m(tank: Tank, row: Row, *, over: float) -> float | None:
    """Where it lets go; None unknown."""
    if tank.overflow_to in row.stores:
        return over - STUB_M
    return tank.fittings.overflow.end_m if tank.fittings.overflow else None
