"""A sheet laid out: every mark of every view on paper, and no words on words or on line work."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from math import atan2, cos, degrees, hypot, pi, radians, sin

from eavewell.drawings.boxes import Box, Taken, box_of, foot_of, free_place, pieces
from eavewell.drawings.letters import refuse_missing, width_mm
from eavewell.drawings.marks import (
    Arc,
    Dimension,
    Hatch,
    Leader,
    LevelMark,
    Pattern,
    Point,
    Sheet,
    Stroke,
    Symbol,
    Text,
    View,
)
from eavewell.drawings.signs import drawn
from eavewell.tables import rows

MARGIN_MM = 10.0
# farther from a tip than this no words of it are tried
ACROSS_MM, UP_MM = 240.0, 90.0
_ROUND = 64
_LETTERS = 2.0
_TICK = 1.2
_APART_MM = 1.0
_BOX_MM = 0.3


@dataclass(frozen=True, slots=True)
class Inked:
    """A line or an area on paper, mm from the lower left corner.

    pattern : None draws its line. view : number of the view that it belongs to.
    """

    layer: str
    points: tuple[Point, ...]
    closed: bool = False
    pattern: Pattern | None = None
    of: str = ""
    view: int = 0


@dataclass(frozen=True, slots=True)
class Lettered:
    """Words on paper with the box they take."""

    text: Text
    box: Box
    view: int = 0


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet laid out.

    leads : lines from a thing to its words. lost : words for which there was no room.
    """

    sheet: Sheet
    width_mm: float
    height_mm: float
    lines: tuple[Inked, ...]
    leads: tuple[Inked, ...]
    words: tuple[Lettered, ...]
    lost: tuple[str, ...]


def size_mm(size: str) -> tuple[float, float]:
    """Width and height of a sheet."""
    row = next(row for row in rows("sheet_sizes") if row["size"] == size)
    return float(row["width_mm"]), float(row["height_mm"])


def compose(sheet: Sheet) -> Paper:
    """Lay out a sheet: fixed marks first, then every leader where nothing stands yet.

    Raises EavewellFault for letters that the fonts lack.
    """
    width, height = size_mm(sheet.size)
    refuse_missing(_all_words(sheet))
    views = list(enumerate(sheet.views))
    lines = [replace(one, view=at) for at, view in views for one in _lines(view)]
    words = [replace(one, view=at) for at, view in views for one in _words(view)]
    within = Box(MARGIN_MM, MARGIN_MM, width - MARGIN_MM, height - MARGIN_MM)
    leads: list[Inked] = []
    lost: list[str] = []
    for at, view in views:
        room = Box(*view.within_mm) if view.within_mm else within
        for leader in _leaders(view):
            tip = view.on_paper(leader.tip)
            led = _led(leader, tip, taken=_taken(lines + leads, words, near=tip), within=room)
            if led is None:
                lost.append(leader.words)
                continue
            words.append(replace(led.words, view=at))
            leads += [replace(led.line, view=at)] if led.line else []
    leads += [_boxed(one) for one in words if one.text.layer == "unknown"]
    return Paper(sheet, width, height, tuple(lines), tuple(leads), tuple(words), tuple(lost))


def _boxed(one: Lettered) -> Inked:
    """A box round words of what is unknown, so that a builder sees what to measure."""
    box, by = one.box, _BOX_MM
    left, low, right, high = box.left - by, box.low - by, box.right + by, box.high + by
    corners = ((left, low), (left, high), (right, high), (right, low))
    return Inked("verify", corners, closed=True, of=one.text.of, view=one.view)


def _all_words(sheet: Sheet) -> Iterator[str]:
    for view in sheet.views:
        for mark in view.marks:
            if isinstance(mark, Text | Leader | Dimension | LevelMark):
                yield mark.words


def _lines(view: View) -> Iterator[Inked]:
    for mark in view.marks:
        if isinstance(mark, Stroke):
            yield Inked(mark.layer, _papered(view, mark.points), mark.closed, of=mark.of)
        elif isinstance(mark, Hatch):
            yield Inked(mark.layer, _papered(view, mark.points), True, mark.pattern, mark.of)
        elif isinstance(mark, Arc):
            yield Inked(mark.layer, _papered(view, arc_points(mark)), of=mark.of)
        elif isinstance(mark, Symbol):
            for stroke in drawn(mark, view.on_paper(mark.at)):
                yield Inked(mark.layer, stroke, of=mark.of)
        elif isinstance(mark, Dimension):
            yield from _measured(view, mark)[0]
        elif isinstance(mark, LevelMark):
            sign = Symbol(_level_layer(mark), mark.at, "level", _LETTERS)
            for stroke in drawn(sign, view.on_paper(mark.at)):
                yield Inked(sign.layer, stroke, of=mark.of)


def _level_layer(mark: LevelMark) -> str:
    return "level" if mark.level_m is not None else "unknown"


def _papered(view: View, points: Iterable[Point]) -> tuple[Point, ...]:
    return tuple(view.on_paper(point) for point in points)


def arc_points(arc: Arc) -> tuple[Point, ...]:
    """A circle or a part of it as a line through points, the ends exact."""
    turn = arc.to_deg - arc.from_deg
    steps = max(2, round(_ROUND * abs(turn) / 360.0))
    ways = [radians(arc.from_deg + turn * at / steps) for at in range(steps + 1)]
    x, y = arc.centre
    return tuple((x + arc.radius * cos(way), y + arc.radius * sin(way)) for way in ways)


def _words(view: View) -> Iterator[Lettered]:
    for mark in view.marks:
        if isinstance(mark, Text):
            yield _lettered(mark, view.on_paper(mark.at))
        elif isinstance(mark, Dimension):
            yield _measured(view, mark)[1]
        elif isinstance(mark, Symbol) and mark.tag:
            x, y = view.on_paper(mark.at)
            at = (x, y - mark.size_mm * 0.62 - _LETTERS * 1.2)
            yield _lettered(Text("text", at, mark.tag, _LETTERS, "middle", of=mark.of), at)


def _lettered(text: Text, at_mm: Point) -> Lettered:
    placed = replace(text, at=at_mm)
    return Lettered(placed, box_of(placed, at_mm))


def _measured(view: View, mark: Dimension) -> tuple[list[Inked], Lettered]:
    """A dimension's lines, slashes and words; its words read from below or from the right."""
    start, end = view.on_paper(mark.start), view.on_paper(mark.end)
    way = atan2(end[1] - start[1], end[0] - start[0])
    out = (-sin(way) * mark.off_mm, cos(way) * mark.off_mm)
    ends = [(point[0] + out[0], point[1] + out[1]) for point in (start, end)]
    slash = (_TICK * cos(way + pi / 4), _TICK * sin(way + pi / 4))
    lines = [tuple(ends), (start, ends[0]), (end, ends[1])] + [
        ((x - slash[0], y - slash[1]), (x + slash[0], y + slash[1])) for x, y in ends
    ]
    middle = ((ends[0][0] + ends[1][0]) / 2.0, (ends[0][1] + ends[1][1]) / 2.0)
    upright = abs(degrees(way)) % 180.0 > 45.0 and abs(degrees(way)) % 180.0 < 135.0
    at = (middle[0] - 0.9, middle[1]) if upright else (middle[0], middle[1] + 0.9)
    text = Text(mark.layer, at, mark.words, _LETTERS, "middle", 90.0 if upright else 0.0)
    return [Inked(mark.layer, line, of=mark.of) for line in lines], _lettered(text, at)


def _leaders(view: View) -> Iterator[Leader]:
    for mark in view.marks:
        if isinstance(mark, Leader):
            yield mark
        elif isinstance(mark, LevelMark):
            yield Leader(_level_layer(mark), mark.at, mark.words, _LETTERS, mark.of)


@dataclass(frozen=True, slots=True)
class Led:
    """Words that found their place, and the line to them where they stand apart."""

    words: Lettered
    line: Inked | None


def _led(leader: Leader, tip: Point, *, taken: Taken, within: Box) -> Led | None:
    wide = width_mm(leader.words, leader.capital_mm, weight="Medium")
    box = free_place(tip, (wide, leader.capital_mm * 1.44), taken=taken, within=within)
    if box is None:
        return None
    at = (box.left, box.low + 0.32 * leader.capital_mm)
    layer = "unknown" if leader.layer == "unknown" else "text"
    words = _lettered(Text(layer, at, leader.words, leader.capital_mm, of=leader.of), at)
    foot = foot_of(box, tip)
    apart = hypot(foot[0] - tip[0], foot[1] - tip[1]) > _APART_MM
    return Led(words, Inked(leader.layer, (tip, foot), of=leader.of) if apart else None)


def _taken(lines: Iterable[Inked], words: Iterable[Lettered], *, near: Point) -> Taken:
    return Taken(
        tuple(one.box for one in words),
        tuple(piece for one in lines if one.pattern is None for piece in _pieces_near(one, near)),
    )


def _pieces_near(one: Inked, tip: Point) -> Iterator[tuple[Point, Point]]:
    x, y = tip
    for start, end in pieces(one.points, closed=one.closed):
        (x0, y0), (x1, y1) = start, end
        if min(x0, x1) - ACROSS_MM < x < max(x0, x1) + ACROSS_MM and (
            min(y0, y1) - UP_MM < y < max(y0, y1) + UP_MM
        ):
            yield start, end
