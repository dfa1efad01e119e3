"""A sheet laid out: every mark of every view on paper, and no words on words or on line work."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from math import atan2, cos, hypot, pi, radians, sin

from eavewell.drawings.boxes import Box, Taken, box_of, foot_of, free_place, pieces
from eavewell.drawings.letters import refuse_missing, shortened, width_mm
from eavewell.drawings.marks import (
    LETTER_MM,
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
from eavewell.drawings.signs import drawn, level_sign
from eavewell.drawings.straights import Straights
from eavewell.tables import rows, texts

WORDS = texts.words("sheets")
MARGIN_MM = 10.0
# farther from a tip than this no words of it are tried
ACROSS_MM, UP_MM = 240.0, 90.0
_ROUND = 64
_TICK = 1.2
_ALONG = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)
_APART_MM = 1.0
_ASIDE = 1.2
_OFF_SIGN_MM = 4.2
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
    drawn_there = _straights(lines)
    words = [replace(one, view=at) for at, view in views for one in _words(view)]
    for at, view in views:
        for mark in view.marks:
            if isinstance(mark, Dimension):
                tip = _ends(view, mark)[2][0]
                figure = _figure(view, mark, taken=_taken(drawn_there, words, near=tip))
                words.append(replace(figure, view=at))
    within = Box(MARGIN_MM, MARGIN_MM, width - MARGIN_MM, height - MARGIN_MM)
    leads: list[Inked] = []
    lost: list[str] = []
    for at, view in views:
        room = Box(*view.within_mm) if view.within_mm else within
        for leader in _leaders(view):
            tip = view.on_paper(leader.tip)
            taken = _taken(drawn_there, words, near=tip, leads=leads)
            led = _led(leader, tip, taken=taken, within=room)
            if led is None:
                lost.append(leader.words)
                continue
            words.append(replace(led.words, view=at))
            leads += [replace(led.line, view=at)] if led.line else []
    if lost and sheet.block:
        words.append(_left_out(lost, width))
    leads += [_boxed(one) for one in words if one.text.layer == "unknown"]
    return Paper(sheet, width, height, tuple(lines), tuple(leads), tuple(words), tuple(lost))


def _left_out(lost: list[str], width: float) -> Lettered:
    """What found no room, told at the foot of the sheet."""
    said = shortened(WORDS.say("compose.left_out.no_room_here_for", lost="; ".join(lost)), 64)
    at = (width - MARGIN_MM - 4.0, MARGIN_MM + 2.4)
    return _lettered(Text("unknown", at, said, anchor="right"), at)


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
            yield from _measured(view, mark)
        elif isinstance(mark, LevelMark):
            sign = level_sign(mark)
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
        elif isinstance(mark, Symbol) and mark.tag:
            x, y = view.on_paper(mark.at)
            at = (x, y - mark.size_mm * 0.62 - LETTER_MM * 1.2)
            yield _lettered(Text("text", at, mark.tag, LETTER_MM, "middle", of=mark.of), at)


def _lettered(text: Text, at_mm: Point) -> Lettered:
    placed = replace(text, at=at_mm)
    return Lettered(placed, box_of(placed, at_mm))


def _measured(view: View, mark: Dimension) -> Iterator[Inked]:
    """A dimension's lines and slashes."""
    start, end, ends = _ends(view, mark)
    way = atan2(end[1] - start[1], end[0] - start[0])
    slash = (_TICK * cos(way + pi / 4), _TICK * sin(way + pi / 4))
    for line in (ends, (start, ends[0]), (end, ends[1])):
        yield Inked(mark.layer, line, of=mark.of)
    for x, y in ends:
        stroke = ((x - slash[0], y - slash[1]), (x + slash[0], y + slash[1]))
        yield Inked(mark.layer, stroke, of=mark.of)


def _ends(view: View, mark: Dimension) -> tuple[Point, Point, tuple[Point, Point]]:
    """What is measured, and the ends of the line that measures it."""
    start, end = view.on_paper(mark.start), view.on_paper(mark.end)
    way = atan2(end[1] - start[1], end[0] - start[0])
    out = (-sin(way) * mark.off_mm, cos(way) * mark.off_mm)
    return start, end, ((start[0] + out[0], start[1] + out[1]), (end[0] + out[0], end[1] + out[1]))


def _figure(view: View, mark: Dimension, *, taken: Taken) -> Lettered:
    """Its words, read from below or from the right, where nothing crosses them.

    The middle of its line first, then along it, then past an end; where all is full, on lines
    rather than on words.
    """
    tried = list(_figures(view, mark))
    free = (one for one in tried if not taken.holds(one.box, gap=0.2))
    bare = (one for one in tried if not any(one.box.meets(word) for word in taken.boxes))
    return next(free, None) or next(bare, tried[0])


def _figures(view: View, mark: Dimension) -> Iterator[Lettered]:
    _, _, ((x0, y0), (x1, y1)) = _ends(view, mark)
    upright, long = abs(y1 - y0) > abs(x1 - x0), hypot(x1 - x0, y1 - y0)
    past = (width_mm(mark.words, LETTER_MM, weight="Medium") / 2.0 + 2.0) / max(long, 1e-6)
    for share in (*_ALONG, 1.0 + past, -past, 1.0 + 3.0 * past, -3.0 * past):
        x, y = x0 + share * (x1 - x0), y0 + share * (y1 - y0)
        for aside in (_ASIDE, -_ASIDE - LETTER_MM, 2.0 * _ASIDE):
            at = (x - aside, y) if upright else (x, y + aside)
            turned = 90.0 if upright else 0.0
            yield _lettered(
                Text(mark.layer, at, mark.words, LETTER_MM, "middle", turned, of=mark.of), at
            )


def _leaders(view: View) -> Iterator[Leader]:
    for mark in view.marks:
        if isinstance(mark, Leader):
            yield mark
        elif isinstance(mark, LevelMark):
            yield Leader(_level_layer(mark), mark.at, mark.words, of=mark.of, upright=mark.upright)


@dataclass(frozen=True, slots=True)
class Led:
    """Words that found their place, and the line to them where they stand apart."""

    words: Lettered
    line: Inked | None


def _led(leader: Leader, tip: Point, *, taken: Taken, within: Box) -> Led | None:
    wide = width_mm(leader.words, leader.capital_mm, weight="Medium")
    layer = "unknown" if leader.layer == "unknown" else "text"
    text = Text(layer, tip, leader.words, leader.capital_mm, of=leader.of)
    for on_end in _on_end(text, wide) if leader.upright else ():
        if on_end.box.within(within) and not taken.holds(on_end.box, gap=0.6):
            return Led(on_end, None)
    size, level = (wide, leader.capital_mm * 1.44), leader.layer == "level"
    box = free_place(tip, size, taken=taken, within=within, level=level)
    if box is None:
        return None
    words = _lettered(text, (box.left, box.low + 0.32 * leader.capital_mm))
    foot = foot_of(box, tip)
    apart = not box.holds(tip) and hypot(foot[0] - tip[0], foot[1] - tip[1]) > _APART_MM
    return Led(words, Inked(leader.layer, (tip, foot), of=leader.of) if apart else None)


def _on_end(text: Text, wide: float) -> Iterator[Lettered]:
    """Words on end above the tip where they stand, then below it."""
    x, y = text.at[0] + 0.4 * text.capital_mm, text.at[1]
    for at in ((x, y + _OFF_SIGN_MM), (x, y - _OFF_SIGN_MM - wide)):
        yield _lettered(replace(text, turned_deg=90.0), at)


def _taken(
    lines: Straights, words: Iterable[Lettered], *, near: Point, leads: Iterable[Inked] = ()
) -> Taken:
    """What stands there, as far as words of a tip may come to it."""
    reach = {"across_mm": ACROSS_MM, "up_mm": UP_MM}
    boxes = tuple(one.box for one in words)
    return Taken(boxes, lines.near(near, **reach), _straights(leads).near(near, **reach))


def _straights(lines: Iterable[Inked]) -> Straights:
    """The straight pieces of all that is drawn as a line."""
    drawn_ones = (one for one in lines if one.pattern is None)
    return Straights.of(
        piece for one in drawn_ones for piece in pieces(one.points, closed=one.closed)
    )
