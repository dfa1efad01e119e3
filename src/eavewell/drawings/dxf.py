"""A sheet as DXF for any CAD program: real metres, one layer a kind of thing, real dimensions.

Views stand side by side in model space at their true size; letters and signs are as large as they
are on the sheet at the scale of its view.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from io import StringIO
from typing import Any

from eavewell.drawings.compose import Inked, Lettered, Paper
from eavewell.drawings.marks import Arc, Dimension, Hatch, Point, Stroke, Symbol, View
from eavewell.drawings.signs import strokes_of
from eavewell.tables import rows

APART_M = 2.0
_FILLS = {"water": "LINE", "soil": "EARTH", "gravel": "GRAVEL", "cut": "ANSI31"}
_ATTACH = {"left": "LEFT", "middle": "CENTER", "right": "RIGHT"}


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


def _document(paper: Paper) -> Any:
    from ezdxf import units
    from ezdxf.document import Drawing

    doc = Drawing.new("R2018")
    doc.units = units.M
    doc.header["$MEASUREMENT"] = 1
    _make_layers(doc)
    _make_signs(doc)
    starts = _starts(paper.sheet.views)
    for at, view in enumerate(paper.sheet.views):
        for mark in view.marks:
            _mark(doc, mark, view=view, start=starts[at])
    for line in paper.leads:
        view = paper.sheet.views[line.view]
        there = [_world(view, point, start=starts[line.view]) for point in line.points]
        _polyline(doc, line, points=there)
    for one in paper.words:
        if one.text.layer != "dimension":
            _letters(doc, one, view=paper.sheet.views[one.view], start=starts[one.view])
    return doc


def _make_layers(doc: Any) -> None:
    for row in rows("layers"):
        layer = doc.layers.add(row["layer"].upper())
        layer.rgb = tuple(int(row["ink"][at : at + 2], 16) for at in (1, 3, 5))
        layer.dxf.lineweight = _weight(float(row["width_mm"]))
        if row["dash_mm"]:
            on, off = (float(part) / 10.0 for part in row["dash_mm"].split())
            name = f"DASH-{row['layer'].upper()}"
            doc.linetypes.add(name, pattern=[on + off, on, -off], description=row["meaning"])
            layer.dxf.linetype = name


def _weight(width_mm: float) -> int:
    """The nearest line weight that the format knows, hundredths of a millimetre."""
    known = (13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100)
    return min(known, key=lambda one: abs(one - 100.0 * width_mm))


def _make_signs(doc: Any) -> None:
    for row in rows("symbols"):
        block = doc.blocks.new(_block(row["symbol"]))
        for stroke in strokes_of(row["symbol"]):
            block.add_lwpolyline(stroke, dxfattribs={"layer": "0"})


def _block(symbol: str) -> str:
    return symbol.upper().replace(" ", "-")


def _starts(views: tuple[View, ...]) -> list[float]:
    """Where each view begins, so that none stands on another."""
    starts, right = [], 0.0
    for view in views:
        across = [x for mark in view.marks for x in _across(mark)]
        starts.append(right - min(across, default=0.0))
        right += max(across, default=0.0) - min(across, default=0.0) + APART_M
    return starts


def _across(mark: Any) -> list[float]:
    if isinstance(mark, Stroke | Hatch):
        return [x for x, _ in mark.points]
    if isinstance(mark, Arc):
        return [mark.centre[0] - mark.radius, mark.centre[0] + mark.radius]
    if isinstance(mark, Dimension):
        return [mark.start[0], mark.end[0]]
    point = getattr(mark, "at", None) or mark.tip
    return [point[0]]


def _world(view: View, on_paper: Point, *, start: float) -> Point:
    return (
        start + (on_paper[0] - view.at_mm[0]) / view.across,
        (on_paper[1] - view.at_mm[1]) / view.up,
    )


def _mark(doc: Any, mark: Any, *, view: View, start: float) -> None:
    space = doc.modelspace()
    if isinstance(mark, Stroke):
        moved = [(x + start, y) for x, y in mark.points]
        _polyline(doc, mark, points=moved)
    elif isinstance(mark, Arc):
        _arc(space, mark, start=start)
    elif isinstance(mark, Hatch):
        hatch = space.add_hatch(dxfattribs={"layer": mark.layer.upper()})
        hatch.set_pattern_fill(_FILLS[mark.pattern], scale=0.25 / view.up)
        hatch.paths.add_polyline_path([(x + start, y) for x, y in mark.points], is_closed=True)
    elif isinstance(mark, Symbol):
        scale = mark.size_mm / view.up
        attribs = {"xscale": scale, "yscale": scale, "rotation": mark.turned_deg}
        at = (mark.at[0] + start, mark.at[1])
        layer = {"layer": mark.layer.upper()}
        space.add_blockref(_block(mark.what), at, dxfattribs=attribs | layer)
    elif isinstance(mark, Dimension):
        _dimension(doc, mark, view=view, start=start)


def _polyline(doc: Any, line: Stroke | Inked, *, points: list[Point]) -> None:
    attribs = {"layer": line.layer.upper()}
    doc.modelspace().add_lwpolyline(points, close=line.closed, dxfattribs=attribs)


def _arc(space: Any, arc: Arc, *, start: float) -> None:
    centre, attribs = (arc.centre[0] + start, arc.centre[1]), {"layer": arc.layer.upper()}
    if arc.to_deg - arc.from_deg >= 360.0:
        space.add_circle(centre, arc.radius, dxfattribs=attribs)
    else:
        space.add_arc(centre, arc.radius, arc.from_deg, arc.to_deg, dxfattribs=attribs)


def _dimension(doc: Any, mark: Dimension, *, view: View, start: float) -> None:
    """A dimension that measures by itself; its words are ours, in the site's units."""
    letters = 2.0 / view.up
    style = {
        "dimtxt": letters,
        "dimasz": letters,
        "dimexe": letters / 2.0,
        "dimexo": 0.0,
        "dimgap": letters / 2.0,
        "dimtad": 1,
    }
    ends = [(x + start, y) for x, y in (mark.start, mark.end)]
    measured = doc.modelspace().add_aligned_dim(
        p1=ends[0],
        p2=ends[1],
        distance=mark.off_mm / view.up,
        text=mark.words,
        override=style,
        dxfattribs={"layer": mark.layer.upper()},
    )
    measured.render()


def _letters(doc: Any, one: Lettered, *, view: View, start: float) -> None:
    from ezdxf.enums import TextEntityAlignment

    text = one.text
    written = doc.modelspace().add_text(
        text.words,
        height=text.capital_mm / view.up,
        rotation=text.turned_deg,
        dxfattribs={"layer": text.layer.upper()},
    )
    align = TextEntityAlignment[_ATTACH[text.anchor]]
    written.set_placement(_world(view, text.at, start=start), align=align)
