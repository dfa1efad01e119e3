"""A sheet as DXF for any CAD program: real metres, one layer a kind of thing, real dimensions.

A sheet with one view to scale lies around it in model space, the view at its true size. A sheet of
several scales lies there at the size of its paper, each view a block of true size put in at its
scale. What is not to scale lies at the size of its paper.
"""

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from io import StringIO
from math import dist, hypot
from typing import Any

from eavewell.drawings.boxes import Box
from eavewell.drawings.compose import MARGIN_MM, Inked, Lettered, Paper
from eavewell.drawings.dxf_document import LETTERS, block_name, dimension_style, empty_document
from eavewell.drawings.letters import tidy
from eavewell.drawings.marks import (
    LETTER_MM,
    Arc,
    Dimension,
    Hatch,
    LevelMark,
    Mark,
    Point,
    Stroke,
    Symbol,
    View,
)
from eavewell.drawings.signs import level_sign
from eavewell.tables import texts

WORDS = texts.words("sheets")
_FILLS = {"water": "LINE", "soil": "EARTH", "gravel": "GRAVEL", "cut": "ANSI31"}
_TRUE = WORDS.say("dxf.true")
_PALE = (214, 203, 178)
_BOX_MM, _FOOT_MM = 0.3, 0.5


def dxf(paper: Paper) -> str:
    """The sheet as text; the same sheet gives the same bytes."""
    with _without_day():
        doc = _document(paper)
        page = StringIO()
        doc.write(page)
    return page.getvalue()


@contextmanager
def _without_day() -> Iterator[None]:
    """Nothing of the day or of chance in what is written."""
    import ezdxf

    options = ezdxf.options  # type: ignore[attr-defined]
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


@dataclass(frozen=True, slots=True)
class Space:
    """Where the marks of a view go.

    into : model space or a block. mm : its units for a millimetre of paper. unit : its units for
    one of the view. placed : a point of the view in it.
    """

    into: Any
    mm: float
    unit: float
    placed: Callable[[Point], Point]


def _document(paper: Paper) -> Any:
    ground = _ground(paper.sheet.views)
    doc = empty_document(mm=1.0 / ground.up, size_mm=(paper.width_mm, paper.height_mm))
    for at, view in enumerate(paper.sheet.views):
        space = _space(doc, view, ground=ground, name=f"VIEW-{at + 1}")
        figures = iter([one for one in paper.words if one.view == at and _is_figure(one)])
        for mark in view.marks:
            if isinstance(mark, Dimension):
                _dimension(space, mark, figure=next(figures), view=view)
            else:
                _mark(space, mark)
    for line in paper.leads:
        if line.layer != "verify":
            points = [_world(ground, point) for point in line.points]
            _polyline(doc.modelspace(), line, points=points)
    feet = [line.points[-1] for line in paper.leads if line.layer != "verify"]
    for one in paper.words:
        if not _is_figure(one):
            _letters(doc.modelspace(), one, ground=ground, feet=feet)
    if ground.across != ground.up:
        _says_true(doc.modelspace(), ground)
    _look_at(doc, paper, ground=ground)
    return doc


def _is_figure(one: Lettered) -> bool:
    return one.text.layer == "dimension"


def _ground(views: tuple[View, ...]) -> View:
    """What the sheet lies around: its one view to scale, else its paper in metres."""
    scaled = [view for view in views if not view.in_mm]
    return scaled[0] if len(scaled) == 1 else View("paper", (), 1000.0, 1000.0)


def _world(ground: View, on_paper: Point) -> Point:
    return (
        (on_paper[0] - ground.at_mm[0]) / ground.across,
        (on_paper[1] - ground.at_mm[1]) / ground.up,
    )


def _space(doc: Any, view: View, *, ground: View, name: str) -> Space:
    if view is ground:
        return Space(doc.modelspace(), 1.0 / view.up, 1.0, lambda point: point)
    if view.in_mm:
        return Space(
            doc.modelspace(),
            1.0 / ground.up,
            view.up / ground.up,
            lambda point: _world(ground, view.on_paper(point)),
        )
    scale = {"xscale": view.across / ground.across, "yscale": view.up / ground.up}
    block = doc.blocks.new(name)
    doc.modelspace().add_blockref(name, _world(ground, view.at_mm), dxfattribs=scale)
    return Space(block, 1.0 / view.up, 1.0, lambda point: point)


def _mark(space: Space, mark: Mark) -> None:
    if isinstance(mark, Stroke):
        _polyline(space.into, mark, points=[space.placed(point) for point in mark.points])
    elif isinstance(mark, Arc):
        _arc(space, mark)
    elif isinstance(mark, Hatch):
        attribs = {"layer": mark.layer.upper(), "lineweight": 13}
        hatch = space.into.add_hatch(dxfattribs=attribs)
        hatch.rgb = _PALE
        hatch.set_pattern_fill(_FILLS[mark.pattern], scale=0.25 * space.mm)
        hatch.paths.add_polyline_path(map(space.placed, mark.points), is_closed=True)
    elif isinstance(mark, Symbol):
        _sign(space, mark)
    elif isinstance(mark, LevelMark):
        _sign(space, level_sign(mark))


def _polyline(into: Any, line: Stroke | Inked, *, points: list[Point]) -> None:
    into.add_lwpolyline(points, close=line.closed, dxfattribs={"layer": line.layer.upper()})


def _arc(space: Space, arc: Arc) -> None:
    centre, radius = space.placed(arc.centre), arc.radius * space.unit
    attribs = {"layer": arc.layer.upper()}
    if arc.to_deg - arc.from_deg >= 360.0:
        space.into.add_circle(centre, radius, dxfattribs=attribs)
    else:
        space.into.add_arc(centre, radius, arc.from_deg, arc.to_deg, dxfattribs=attribs)


def _sign(space: Space, mark: Symbol) -> None:
    scale = mark.size_mm * space.mm
    attribs = {"xscale": scale, "yscale": scale, "rotation": mark.turned_deg}
    layer = {"layer": mark.layer.upper()}
    at = space.placed(mark.at)
    space.into.add_blockref(block_name(mark.what), at, dxfattribs=attribs | layer)


def _dimension(space: Space, mark: Dimension, *, figure: Lettered, view: View) -> None:
    """A dimension that measures by itself; its words are ours, in the site's units."""
    start, end = space.placed(mark.start), space.placed(mark.end)
    measured = space.into.add_aligned_dim(
        p1=start,
        p2=end,
        distance=mark.off_mm * space.mm,
        text=mark.words,
        override=dimension_style(space.mm),
        dxfattribs={"layer": mark.layer.upper()},
    )
    ends = {"start": view.on_paper(mark.start), "end": view.on_paper(mark.end)}
    along, aside = _beside(figure, **ends)
    far = dist(start, end) or 1.0
    way = ((end[0] - start[0]) / far, (end[1] - start[1]) / far)
    out, on = aside * space.mm, along * far
    at = (start[0] + on * way[0] - out * way[1], start[1] + on * way[1] + out * way[0])
    measured.set_location(at)
    measured.render()


def _beside(figure: Lettered, *, start: Point, end: Point) -> tuple[float, float]:
    """Where the middle of a figure stands: share of the way from start to end, mm to its left."""
    box = figure.box
    x, y = (box.left + box.right) / 2.0, (box.low + box.high) / 2.0
    across, up = end[0] - start[0], end[1] - start[1]
    far = hypot(across, up) or 1.0
    dx, dy = x - start[0], y - start[1]
    return (dx * across + dy * up) / far**2, (dy * across - dx * up) / far


def _letters(into: Any, one: Lettered, *, ground: View, feet: Iterable[Point]) -> None:
    """Words as wide as they are on the sheet, whatever letters a program has.

    feet : ends of leaders; words keep to theirs where the sheet is pressed.
    """
    from ezdxf.enums import TextEntityAlignment

    text, box = one.text, one.box
    held = next((foot for foot in feet if _grown(box, _FOOT_MM).holds(foot)), text.at)
    near = _near(ground, held)
    turned = text.turned_deg != 0.0
    start = (text.at[0], box.low) if turned else (box.left, text.at[1])
    end = (text.at[0], box.high) if turned else (box.right, text.at[1])
    attribs = {"layer": text.layer.upper(), "style": LETTERS, "linetype": "CONTINUOUS"}
    height = text.capital_mm / ground.up
    written = into.add_text(_no_codes(tidy(text.words)), height=height, dxfattribs=attribs)
    if len(text.words) > 1:
        written.set_placement(near(start), near(end), align=TextEntityAlignment.FIT)
    else:
        middle = ((start[0] + end[0]) / 2.0, (start[1] + end[1]) / 2.0)
        written.set_placement(near(middle), align=TextEntityAlignment.CENTER)
    if text.layer == "unknown":
        corners = [near(point) for point in _corners(_grown(box, _BOX_MM))]
        into.add_lwpolyline(corners, close=True, dxfattribs={"layer": "VERIFY"})


def _no_codes(words: str) -> str:
    """Words that a reader shows as they stand: %%d would be a degree, ^J a new line."""
    return words.replace("^", "^ ").replace("%%", "%%%" * 2)


def _grown(box: Box, by: float) -> Box:
    return Box(box.left - by, box.low - by, box.right + by, box.high + by)


def _corners(box: Box) -> tuple[Point, ...]:
    left, low, right, high = box.left, box.low, box.right, box.high
    return (left, low), (left, high), (right, high), (right, low)


def _says_true(into: Any, ground: View) -> None:
    """Under the frame of a sheet that is pressed on paper: here it is not."""
    attribs = {"layer": "TEXT", "style": LETTERS}
    written = into.add_text(_TRUE, height=LETTER_MM / ground.up, dxfattribs=attribs)
    written.set_placement(_world(ground, (MARGIN_MM, MARGIN_MM - 2.0 * LETTER_MM)))


def _near(ground: View, held: Point) -> Callable[[Point], Point]:
    """Points of paper by a point that keeps its place, as far from it as on paper."""
    (x, y), (left, low), up = _world(ground, held), held, ground.up
    return lambda point: (x + (point[0] - left) / up, y + (point[1] - low) / up)


def _look_at(doc: Any, paper: Paper, *, ground: View) -> None:
    """The edge of the paper, not printed; the whole of it in the window that a program opens with.

    A program that fits a drawing to its page thus prints at the scale of the sheet.
    """
    sheet = Box(0.0, 0.0, paper.width_mm, paper.height_mm)
    edge = [_world(ground, point) for point in _corners(sheet)]
    doc.modelspace().add_lwpolyline(edge, close=True, dxfattribs={"layer": "Defpoints"})
    low, high = edge[0], edge[2]
    middle = ((low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0)
    doc.modelspace().reset_extents((*low, 0.0), (*high, 0.0))
    doc.set_modelspace_vport(1.1 * (high[1] - low[1]), middle)
