"""Roofs in the section: the building, its roof, gutter, downspout, screens and first flush."""

from collections.abc import Iterator

from eavewell.drawings.letters import shortened
from eavewell.drawings.marks import Mark, Stroke, Symbol
from eavewell.drawings.pieces import Piece, level
from eavewell.hydraulics.first_flush_pipe import FlushPipe
from eavewell.site.place import Show
from eavewell.site.roof import Roof
from eavewell.tables import texts

WORDS = texts.words("sheets")
HALF_M, EDGE_M, SPOUT_M, UNKNOWN_EAVE_M, RISE = 1.6, 0.35, 0.55, 3.0, 0.33


def roof_piece(
    roof: Roof, *, ground_m: float, flush: FlushPipe | None, down_to_m: float, system: Show
) -> Piece:
    """Half a building cut at its ridge, its gutter to the right.

    ground_m : level of the ground. flush : its first flush, if it has one. down_to_m : where its
    pipe begins.
    """
    known = roof.eave_m is not None
    eave_m = roof.eave_m if roof.eave_m is not None else ground_m + UNKNOWN_EAVE_M
    of, layer = f"roof {roof.name}", "roof" if known else "unknown"
    ridge_m = eave_m + HALF_M * (roof.pitch or RISE)
    wall = "building" if known else "unknown"
    gutter_x = HALF_M + EDGE_M
    top, corner = (0.0, ridge_m), (HALF_M + EDGE_M - 0.05, eave_m + 0.05)
    marks: list[Mark] = [
        Stroke(wall, ((0.0, ground_m), (0.0, ridge_m)), of=of),
        Stroke(wall, ((HALF_M, ground_m), (HALF_M, eave_m + 0.1)), of=of),
        Stroke(layer, (top, corner), of=of),
        _gutter(gutter_x, eave_m, of=of),
        level(
            (gutter_x, eave_m),
            WORDS.say("section_roofs.roof_piece.gutter", name=shortened(roof.name)),
            level_m=roof.eave_m,
            system=system,
            of=of,
        ),
        *_way_down(roof, flush, eave_m=eave_m, down_to_m=down_to_m),
    ]
    ports = {"down": (gutter_x + SPOUT_M, down_to_m)}
    return Piece(tuple(marks), gutter_x + SPOUT_M + (0.7 if flush else 0.1), ports)


def _gutter(x_m: float, eave_m: float, *, of: str) -> Stroke:
    points = (
        (x_m - 0.06, eave_m + 0.13),
        (x_m - 0.06, eave_m),
        (x_m + 0.1, eave_m),
        (x_m + 0.1, eave_m + 0.13),
    )
    return Stroke("gutter", points, of=of)


def _way_down(
    roof: Roof, flush: FlushPipe | None, *, eave_m: float, down_to_m: float
) -> Iterator[Mark]:
    """The downspout to its pipe, screens on it, the standpipe of the first flush beside it."""
    left, right = HALF_M + EDGE_M + 0.02, HALF_M + EDGE_M + SPOUT_M
    of = f"roof {roof.name}"
    high = eave_m - 0.35 * max(eave_m - down_to_m, 0.0)
    points = ((left, eave_m), (left, eave_m - 0.1), (right, high), (right, down_to_m))
    yield Stroke("gutter", points, of=of)
    for at, screen in enumerate(roof.screens):
        place = (right, high - 0.12 - 0.25 * at)
        yield Symbol("fitting", place, "screen", 3.5, of=f"screen {screen.name}")
    if flush is not None:
        yield from _standpipe(flush, x_m=right + 0.4, top_m=max(high - 0.3, down_to_m), of=of)


def _standpipe(flush: FlushPipe, *, x_m: float, top_m: float, of: str) -> Iterator[Mark]:
    half = max((flush.flush.bore_mm or 100.0) / 2000.0, 0.05)
    low_m = top_m - (flush.length_m or 0.8)
    yield Stroke("pipe", ((x_m - 0.4, top_m), (x_m - half, top_m)), of=of)
    corners = ((x_m - half, top_m), (x_m - half, low_m), (x_m + half, low_m), (x_m + half, top_m))
    yield Stroke("pipe", corners, closed=True, of=of)
    yield Symbol("fitting", (x_m, low_m), "drain", 2.5, of=of)
