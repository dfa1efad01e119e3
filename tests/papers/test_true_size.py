"""True size measured where it is printed: by the operators of the PDF, in 1/72 inch."""

import io
from datetime import date

import pytest
from pypdf import PdfReader
from pypdf.generic import ContentStream

from eavewell.drawings.label_face import lay_out
from eavewell.drawings.label_sheets import label_sheets
from eavewell.drawings.labels import label_svg
from eavewell.drawings.tape import Tick, sheet_size_mm, tape_sheets
from eavewell.papers.paper import Paper
from eavewell.papers.typeset import pdf
from eavewell.papers.wall_blocks import TrueSize
from eavewell.site.label import Label

MM = 25.4 / 72.0
WITHIN_MM = 0.2
SIGN = Label(
    what="tap",
    end_use="indoor",
    head=("HILT",),
    more="",
    where=("kitchen",),
    count=1,
    counted=("1 at kitchen",),
    letters_mm=25.0,
    width_mm=150.0,
    most_height_mm=None,
    letters="#fedb00",
    ground="#4a2379",
    flows=False,
    source="made up",
)


def times(one, two):
    """Two PDF matrices, the first applied first."""
    a, b, c, d, e, f = one
    p, q, r, s, t, u = two
    turned = (a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s)
    return (*turned, e * p + f * r + t, e * q + f * s + u)


def paths(reader, page):
    """Every path of a page as its points on paper in mm."""
    return list(_paths(reader, page, page.get_contents(), (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)))


def _paths(reader, holder, stream, matrix):
    kept, points = [], []
    objects = holder["/Resources"].get("/XObject", {})
    for operands, operator in ContentStream(stream, reader).operations:
        if operator == b"q":
            kept.append(matrix)
        elif operator == b"Q":
            matrix = kept.pop()
        elif operator == b"cm":
            matrix = times([float(one) for one in operands], matrix)
        elif operator == b"Do":
            form = objects[operands[0]].get_object()
            inner = times([float(x) for x in form.get("/Matrix", (1, 0, 0, 1, 0, 0))], matrix)
            yield from _paths(reader, form, form, inner)
        elif operator in (b"m", b"l", b"c", b"v", b"y"):
            points.append(on_paper([float(one) for one in operands[-2:]], matrix))
        elif operator == b"re":
            x, y, w, h = (float(one) for one in operands)
            points += [on_paper(one, matrix) for one in ((x, y), (x + w, y + h))]
        elif operator in (b"S", b"s", b"f", b"F", b"f*", b"B", b"B*", b"b", b"b*", b"n"):
            if points:
                yield points
            points = []


def on_paper(point, matrix):
    (x, y), (a, b, c, d, e, f) = point, matrix
    return (a * x + c * y + e) * MM, (b * x + d * y + f) * MM


def boxes(svg, width_mm):
    """Left, foot, width and height in mm of every path of a drawing set at its true size."""
    paper = Paper(
        name="card",
        title="Card",
        site="here",
        day=date(2026, 1, 1),
        record="none",
        version="0",
        issue="0",
        blocks=(TrueSize(svg, "a drawing", width_mm),),
        lead=(),
        paged="wall letter",
        invented=True,
    )
    reader = PdfReader(io.BytesIO(pdf(paper)))
    for page in reader.pages:
        for points in paths(reader, page):
            xs, ys = zip(*points, strict=True)
            yield min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys)


def test_a_label_and_its_letters_print_as_large_as_they_say():
    face = lay_out(SIGN)
    found = list(boxes(label_svg(SIGN), face.width_mm))
    frame = [one for one in found if one[2] == pytest.approx(face.width_mm, abs=WITHIN_MM)]
    assert any(one[3] == pytest.approx(face.height_mm, abs=WITHIN_MM) for one in frame)
    # H, I, L and T have straight tops: the word is as high as its capitals
    assert any(one[3] == pytest.approx(25.0, abs=WITHIN_MM) for one in found)


def test_the_bar_of_a_label_sheet_prints_as_long_as_it_says():
    (sheet,) = label_sheets([SIGN], system="metric", site="here")
    found = list(boxes(sheet, 297.0))
    assert any(one[2:] == pytest.approx((100.0, 4.0), abs=WITHIN_MM) for one in found)
    face = lay_out(SIGN)
    label = (face.width_mm, face.height_mm)
    assert any(one[2:] == pytest.approx(label, abs=WITHIN_MM) for one in found)


def test_marks_of_the_gauge_tape_print_an_inch_apart():
    ticks = [Tick(25.4 * n, f"{n} gal") for n in range(7)]
    (sheet,) = tape_sheets(ticks, piece_mm=177.8, high_mm=177.8)
    found = list(boxes(sheet, sheet_size_mm(177.8)[0]))
    marks = [one for one in found if one[2] == pytest.approx(7.0, abs=0.05) and one[3] < 0.01]
    feet = sorted(one[1] for one in marks)
    assert len(feet) == 7
    assert [foot - feet[0] for foot in feet] == pytest.approx(
        [25.4 * n for n in range(7)], abs=WITHIN_MM
    )
