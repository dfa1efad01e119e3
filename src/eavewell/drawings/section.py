"""The section from sky to tap: levels to scale, widths of tanks to scale, distances pressed."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import ceil, floor

from eavewell.drawings.boxes import Box
from eavewell.drawings.compose import MARGIN_MM
from eavewell.drawings.marks import (
    LETTER_MM,
    Hatch,
    Leader,
    LevelMark,
    Mark,
    Point,
    Sheet,
    Stroke,
    Text,
    View,
)
from eavewell.drawings.pieces import Piece, in_a_row
from eavewell.drawings.scales import Scale, largest_scale
from eavewell.drawings.section_ground import Row, ground, known_or
from eavewell.drawings.section_lines import line_piece
from eavewell.drawings.section_pipes import pipes
from eavewell.drawings.section_roofs import UNKNOWN_EAVE_M, roof_piece
from eavewell.drawings.section_stores import store_piece
from eavewell.drawings.section_turn import stores_in_turn
from eavewell.drawings.title_block import framed, room_of
from eavewell.hydraulics.first_flush_pipe import FlushPipe
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.tables import texts
from eavewell.units import show

WORDS = texts.words("sheets")
GAP_M, STAFF_MM, WORDS_MM, OVER_MM = 1.2, 20.0, 36.0, 10.0
Named = tuple[tuple[str, str], Piece]


def section(site: Site, flushes: Sequence[FlushPipe], *, size: str, block: dict[str, str]) -> Sheet:
    """One sheet; size : a row of tables/sheet_sizes.csv. block : words of the title block."""
    row = _row(site, {flush.roof: flush for flush in flushes})
    pieces = tuple(mark for piece in row.pieces for mark in piece.marks)
    # in this turn words find their places
    marks = tuple(sorted((*ground(site, row), *pieces, *pipes(site, row)), key=_in_turn))
    view, scale = _fitted("section", marks, size=size, system=site.place.show)
    staff = tuple(_staff(view, scale, room=room_of(size), system=site.place.show))
    levels = View("levels", staff, 1.0, view.up, view.at_mm, in_mm=True)
    says = WORDS.say("section.page.section_from_its_roofs", name=site.name)
    title = WORDS.say("section.page.section_from_sky_tap")
    pressed = WORDS.say(
        "section.page.upward_across_pressed", called=scale.called, what=1000.0 / view.across
    )
    words = (("sheet", title), *block.items(), ("scale", pressed))
    return framed(
        Sheet("section", title, size, (view, levels), words, says),
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
    """The stores in their turn; lines from the highest ground to the lowest."""
    ground_m, system = known_or(site.ground.level_m, 0.0), site.place.show
    for tank in stores_in_turn(site):
        lifts = [one for one in site.lifts if one.source == tank.name and tank.is_sump]
        yield ("store", tank.name), store_piece(tank, lifts=tuple(lifts), system=system)
        drawn = [
            (line.name, line_piece(line, ground_m=ground_m, system=system))
            for line in site.lines
            if line.source == tank.name
        ]
        drawn.sort(key=lambda one: -known_or(one[1].ground_m, ground_m))
        yield from ((("line", name), piece) for name, piece in drawn)


def _in_turn(mark: Mark) -> int:
    """Words on end have one place only, names of tanks have most."""
    if isinstance(mark, Leader | LevelMark) and mark.upright:
        return 0
    return 2 if isinstance(mark, Leader) and mark.capital_mm > LETTER_MM else 1


def _fitted(name: str, marks: tuple[Mark, ...], *, size: str, system: Show) -> tuple[View, Scale]:
    """The view at the largest usual scale upward, never smaller than across."""
    points = [point for mark in marks for point in _points(mark)]
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    low, high = min(y for _, y in points), max(y for _, y in points)
    room = replace(room_of(size), left=MARGIN_MM + STAFF_MM + WORDS_MM)
    scale = largest_scale(1e-3, max(high - low, 1.0), room=room, system=system)
    up = scale.mm_m
    across = min((room.right - room.left) / max(right - left, 1.0), up)
    spare = (room.high - room.low - up * (high - low)) / 2.0
    at = (
        (room.left + room.right - across * (left + right)) / 2.0,
        room.low + spare - up * low,
    )
    return View(name, marks, across, up, at), scale


def _staff(view: View, scale: Scale, *, room: Box, system: Show) -> Iterator[Mark]:
    """A staff at the left of the sheet, its marks at whole levels; x in mm, y in metres.

    room : of the view on paper, mm; the staff keeps near it.
    """
    points = [point for mark in view.marks for point in _points(mark)]
    part = scale.part_m
    first, last = (edge(y / part) for edge, y in zip((floor, ceil), _ends(points), strict=True))
    least, most = ((y - view.at_mm[1]) / view.up for y in (room.low - OVER_MM, room.high + OVER_MM))
    first, last = max(first, ceil(least / part)), min(last, floor(most / part))
    x = MARGIN_MM + STAFF_MM - view.at_mm[0]
    yield Stroke("level", ((x, first * part), (x, last * part)))
    for at in range(first, last + 1):
        yield Stroke("level", ((x - 1.5, at * part), (x, at * part)))
        lifted = at * part - 0.4 * LETTER_MM / view.up
        yield Text(
            "text", (x - 2.5, lifted), show(at * part, "level", system=system), anchor="right"
        )


def _ends(points: Sequence[Point]) -> tuple[float, float]:
    return min(y for _, y in points), max(y for _, y in points)


def _points(mark: Mark) -> tuple[Point, ...]:
    if isinstance(mark, Stroke | Hatch):
        return mark.points
    at = getattr(mark, "at", None) or getattr(mark, "tip", None)
    return (at,) if at else ()
