"""The section from sky to tap: levels to scale, widths of tanks to scale, distances pressed."""

from collections.abc import Iterator, Sequence

from eavewell.drawings.marks import Hatch, Mark, Point, Sheet, Stroke, View
from eavewell.drawings.pieces import Piece, in_a_row
from eavewell.drawings.section_ground import Row, ground, known_or
from eavewell.drawings.section_lines import line_piece
from eavewell.drawings.section_pipes import pipes
from eavewell.drawings.section_roofs import UNKNOWN_EAVE_M, roof_piece
from eavewell.drawings.section_stores import store_piece
from eavewell.drawings.title_block import block_of, framed, room_of
from eavewell.hydraulics.first_flush_pipe import FlushPipe
from eavewell.site.site import Site

GAP_M = 1.2
Named = tuple[tuple[str, str], Piece]


def section(site: Site, flushes: Sequence[FlushPipe], *, size: str, block: dict[str, str]) -> Sheet:
    """One sheet; size : a row of tables/sheet_sizes.csv. block : words of the title block."""
    row = _row(site, {flush.roof: flush for flush in flushes})
    pieces = (mark for piece in row.pieces for mark in piece.marks)
    marks = (*ground(site, row), *pieces, *pipes(site, row))
    view = _fitted("section", marks, size=size)
    says = f"Section of {site.name} from its roofs to its taps, with every level that is known."
    title = "Section from sky to tap"
    return framed(
        Sheet("section", title, size, (view,), block_of(title, block, view=view), says),
    )


def _row(site: Site, flushes: dict[str, FlushPipe]) -> Row:
    """Roofs, then each store with the lines that draw from it."""
    named = [*_roofs(site, flushes), *_stores_and_lines(site)]
    placed = in_a_row([piece for _, piece in named], GAP_M)
    found: dict[str, dict[str, Piece]] = {"roof": {}, "store": {}, "line": {}}
    for ((kind, name), _), piece in zip(named, placed, strict=True):
        found[kind][name] = piece
    return Row(found["roof"], found["store"], found["line"])


def _roofs(site: Site, flushes: dict[str, FlushPipe]) -> Iterator[Named]:
    begins = {name: run.from_m for run in site.runs for name in run.carries}
    ground_m = known_or(site.ground.level_m, 0.0)
    for roof in site.roofs:
        if roof.drains_to:
            eave_m = known_or(roof.eave_m, ground_m + UNKNOWN_EAVE_M)
            piece = roof_piece(
                roof,
                ground_m=ground_m,
                flush=flushes.get(roof.name),
                down_to_m=known_or(begins.get(roof.name), eave_m - 0.6),
                system=site.place.show,
            )
            yield ("roof", roof.name), piece


def _stores_and_lines(site: Site) -> Iterator[Named]:
    """Sumps first; lines from the highest ground to the lowest."""
    ground_m, system = known_or(site.ground.level_m, 0.0), site.place.show
    for tank in sorted(site.tanks, key=lambda tank: (not tank.is_sump, tank.base_m or 0.0)):
        lifts = [one for one in site.lifts if one.source == tank.name and tank.is_sump]
        yield ("store", tank.name), store_piece(tank, lifts=tuple(lifts), system=system)
        drawn = [
            (line.name, line_piece(line, ground_m=ground_m, system=system))
            for line in site.lines
            if line.source == tank.name
        ]
        drawn.sort(key=lambda one: -known_or(one[1].ground_m, ground_m))
        yield from ((("line", name), piece) for name, piece in drawn)


def _fitted(name: str, marks: tuple[Mark, ...], *, size: str) -> View:
    """The view as large as the sheet allows, upward never smaller than across."""
    points = [point for mark in marks for point in _points(mark)]
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    low, high = min(y for _, y in points), max(y for _, y in points)
    room = room_of(size)
    up = min((room.high - room.low) / max(high - low, 1.0), 40.0)
    across = min((room.right - room.left) / max(right - left, 1.0), up)
    spare = (room.high - room.low - up * (high - low)) / 2.0
    at = (room.left - across * left, room.low + spare - up * low)
    return View(name, marks, across, up, at)


def _points(mark: Mark) -> tuple[Point, ...]:
    if isinstance(mark, Stroke | Hatch):
        return mark.points
    at = getattr(mark, "at", None) or getattr(mark, "tip", None)
    return (at,) if at else ()
