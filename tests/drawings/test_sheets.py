"""A sheet on paper and in CAD: nothing on anything, well formed, and the same bytes twice."""

import io
import math
from xml.etree import ElementTree

import ezdxf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from eavewell.drawings.compose import compose, size_mm
from eavewell.drawings.dxf import dxf
from eavewell.drawings.letters import width_mm
from eavewell.drawings.marks import (
    LETTER_MM,
    Arc,
    Dimension,
    Hatch,
    Leader,
    LevelMark,
    Sheet,
    Stroke,
    Symbol,
    Text,
    View,
)
from eavewell.drawings.svg import svg
from eavewell.faults import EavewellFault
from eavewell.tables import rows

FOOT = 0.3048
TANK_M = 8 * FOOT
RIM_M = 7.5 * FOOT
MARKS = (
    Hatch("ground", ((-1, 0), (12, 0), (12, -0.6), (-1, -0.6)), "soil"),
    Stroke("ground", ((-1, 0), (12, 0))),
    Stroke("tank", ((2, 0), (2, RIM_M), (2 + TANK_M, RIM_M), (2 + TANK_M, 0)), True, "tank main"),
    Dimension("dimension", (2, 0), (2 + TANK_M, 0), "8 ft", -6),
    LevelMark((2 + TANK_M, 2.1), "overflow 6 ft 10 in", 2.1),
    LevelMark((2, 0.1), "outlet 4 in", 0.1),
    LevelMark((8, 2.5), "inlet: level unknown", None),
    Symbol("fitting", (6, 0.3), "pump", tag="3"),
    Leader("text", (3, 1), "4 x main, 2,800 gal"),
    Arc("pipe", (10, 1), 0.5),
    Text("text", (0, 4), "Section <from> sky & tap"),
)


def sheet(*marks, size="letter", across=16.0, up=30.0):
    view = View("section", marks or MARKS, across, up, (40.0, 60.0))
    return Sheet("section", "Section", size, (view,), says="a tank & its pump")


def read(text):
    return ezdxf.read(io.StringIO(text))


def test_the_svg_is_well_formed_and_in_millimetres():
    root = ElementTree.fromstring(svg(compose(sheet())))
    width, height = size_mm("letter")
    assert (root.get("width"), root.get("height")) == (f"{width:g}mm", f"{height:g}mm")
    words = [one.text for one in root.iter("{http://www.w3.org/2000/svg}text")]
    assert "Section <from> sky & tap" in words
    assert {"8 ft", "overflow 6 ft 10 in", "4 x main, 2,800 gal", "3"} <= set(words)


def test_levels_keep_their_scale():
    paper = compose(sheet())
    tank = next(one for one in paper.lines if one.of == "tank main")
    # 30 mm for a metre upward, 16 across, from (40, 60)
    assert tank.points[1] == pytest.approx((40 + 32, 60 + 30 * RIM_M))


def overlaps(paper):
    boxes = [one.box for one in paper.words]
    return [
        (paper.words[i].text.words, paper.words[j].text.words)
        for i in range(len(boxes))
        for j in range(i)
        if boxes[i].meets(boxes[j])
    ]


def struck(paper):
    """Placed words with line work through them, their own leads apart."""
    placed = [one for one in paper.words if one.text.layer == "text" and not one.text.bold]
    return [
        one.text.words
        for one in placed
        for line in paper.lines
        if line.pattern is None
        for start, end in zip(line.points, line.points[1:], strict=False)
        if one.box.crossed_by(start, end) and one.text.words.startswith("lead")
    ]


@settings(max_examples=200, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.floats(0.0, 10.0),
            st.floats(-1.0, 4.0),
            st.text("abcdef 12", min_size=1, max_size=22),
        ),
        min_size=1,
        max_size=25,
    ),
    st.lists(st.tuples(st.floats(0.0, 10.0), st.floats(0.0, 4.0)), min_size=2, max_size=8),
)
def test_no_words_stand_on_words_or_lines(tips, way):
    leaders = [Leader("text", (x, y), f"lead {words}") for x, y, words in tips]
    paper = compose(sheet(Stroke("pipe", tuple(way)), *leaders))
    assert overlaps(paper) == []
    assert struck(paper) == []
    assert len(paper.words) + len(paper.lost) == len(tips)


def test_cad_reads_it_without_a_fault():
    doc = read(dxf(compose(sheet())))
    audit = doc.audit()
    assert audit.errors == []
    assert audit.fixes == []
    assert doc.units == ezdxf.units.M
    layers = {layer.dxf.name for layer in doc.layers}
    assert {row["layer"].upper() for row in rows("layers")} <= layers
    for entity in doc.modelspace():
        assert entity.dxf.layer in layers


def test_cad_reads_true_sizes_back():
    doc = read(dxf(compose(sheet())))
    (tank,) = doc.modelspace().query('LWPOLYLINE[layer=="TANK"]')
    points = [point[:2] for point in tank.get_points()]
    across = max(x for x, _ in points) - min(x for x, _ in points)
    assert across == pytest.approx(TANK_M, abs=0.001)
    assert max(y for _, y in points) == pytest.approx(RIM_M, abs=0.001)
    (measured,) = doc.modelspace().query("DIMENSION")
    assert measured.get_measurement() == pytest.approx(TANK_M, abs=0.001)
    (circle,) = doc.modelspace().query("CIRCLE")
    assert circle.dxf.radius == pytest.approx(0.5)


def test_no_point_is_lost_or_alone():
    doc = read(dxf(compose(sheet())))
    for line in doc.modelspace().query("LWPOLYLINE"):
        points = [point[:2] for point in line.get_points()]
        assert len(points) >= 2
        assert all(math.isfinite(number) for point in points for number in point)


def test_two_runs_give_the_same_bytes():
    assert dxf(compose(sheet())) == dxf(compose(sheet()))
    assert svg(compose(sheet())) == svg(compose(sheet()))


def test_letters_that_no_font_has_are_told():
    with pytest.raises(EavewellFault, match="letters for labels lack"):
        compose(sheet(Leader("text", (1, 1), "水")))


def test_of_several_scales_each_view_keeps_its_true_size_and_its_place():
    one = View("plan", (Arc("tank", (0.0, 0.0), 3.0),), 10.0, 10.0, (50.0, 60.0))
    other = View("pit", (Arc("tank", (1.0, 2.0), 0.5),), 40.0, 40.0, (150.0, 60.0))
    doc = read(dxf(compose(Sheet("plan", "Plan", "a3", (one, other)))))
    first, second = doc.modelspace().query("INSERT")
    (large,), (small,) = (one.block().query("CIRCLE") for one in (first, second))
    assert (large.dxf.radius, small.dxf.radius) == (3.0, 0.5)
    # on paper: 30 mm about (50, 60), and 20 mm about (150 + 40, 60 + 80), in metres
    (large,), (small,) = (list(one.virtual_entities()) for one in (first, second))
    assert (*large.dxf.center, large.dxf.radius) == pytest.approx((0.05, 0.06, 0.0, 0.03))
    assert (*small.dxf.center, small.dxf.radius) == pytest.approx((0.19, 0.14, 0.0, 0.02))


def test_the_sheet_lies_around_the_view_to_scale():
    frame = View("frame", (Stroke("frame", ((10.0, 10.0), (269.4, 10.0))),), 1.0, 1.0, in_mm=True)
    pressed = sheet()
    doc = read(dxf(compose(Sheet("section", "Section", "letter", (*pressed.views, frame)))))
    (line,) = doc.modelspace().query('LWPOLYLINE[layer=="FRAME"]')
    (x0, y0), (x1, y1) = (point[:2] for point in line.get_points())
    # the view's origin at (40, 60), 16 mm across and 30 mm upward for a metre
    assert (x0, y0) == pytest.approx((-30 / 16, -50 / 30))
    assert (x1, y1) == pytest.approx((229.4 / 16, -50 / 30))
    assert any("true metres" in one.dxf.text for one in doc.modelspace().query("TEXT"))


def test_words_are_as_wide_as_on_paper_whatever_the_letters():
    text = Text("text", (0, 4), "Section from sky to tap")
    doc = read(dxf(compose(sheet(text))))
    written = next(one for one in doc.modelspace().query("TEXT") if one.dxf.text == text.words)
    _, start, end = written.get_placement()
    wide = width_mm(text.words, text.capital_mm, weight="Medium")
    assert end.x - start.x == pytest.approx(wide / 30)
    assert written.dxf.height == pytest.approx(text.capital_mm / 30)


def test_a_level_has_its_sign_at_its_level():
    doc = read(dxf(compose(sheet())))
    signs = doc.modelspace().query('INSERT[name=="LEVEL"]')
    assert sorted(one.dxf.insert.y for one in signs) == pytest.approx([0.1, 2.1, 2.5])
    assert [one.dxf.layer for one in signs].count("UNKNOWN") == 1


def test_paper_is_as_large_as_the_sheet():
    doc = read(dxf(compose(sheet())))
    width, height = size_mm("letter")
    assert doc.header["$PLIMMAX"][:2] == pytest.approx((width / 1000, height / 1000))
    assert doc.header["$DIMTXT"] == pytest.approx(LETTER_MM / 30)
