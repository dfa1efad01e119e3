"""Labels at true size: heights from the outlines themselves, widths in mm, letters that fit."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from eavewell.drawings.label_face import lay_out, small_mm
from eavewell.drawings.label_sheets import GAP, flows, label_sheets, room
from eavewell.drawings.labels import label_svg
from eavewell.drawings.letters import outline, refuse_missing, width_mm, wrapped, wrapped_evenly
from eavewell.faults import EavewellFault
from eavewell.site.label import Label
from eavewell.tables import rows

SVG = "{http://www.w3.org/2000/svg}"
SIGN = Label(
    what="tap",
    end_use="indoor",
    head=("Rainwater", "Do not drink"),
    more="For flushing and washing. Not for drinking, cooking, ice or brushing teeth.",
    where=("kitchen", "basins"),
    count=3,
    counted=("1 at kitchen", "2 at basins"),
    letters_mm=25.0,
    width_mm=200.0,
    most_height_mm=None,
    letters="#fedb00",
    ground="#4a2379",
    flows=False,
    source="made up",
)
PIPE = replace(
    SIGN, what="pipe", more="", head=("Rainwater", "do not drink"), flows=True, letters_mm=12.7
)
WIDTHS = {float(row["width_mm"]) for row in rows("label_widths")}


def points(path):
    """Every corner and end of an outline's strokes; its capitals here have straight tops."""
    x = y = 0.0
    for command, body in re.findall(r"([MLHVQCZ])([^MLHVQCZ]*)", path):
        numbers = [float(number) for number in re.findall(r"-?\d*\.?\d+", body)]
        if command == "H":
            x = numbers[-1]
        elif command == "V":
            y = numbers[-1]
        elif numbers:
            x, y = numbers[-2:]
        yield x, y


def box(path):
    xs, ys = zip(*points(path), strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def paths_of(svg):
    return [found.get("d") for found in ET.fromstring(svg).iter(f"{SVG}path")]


@pytest.mark.parametrize("capital_mm", [4.0, 12.7, 25.0, 88.9])
@pytest.mark.parametrize("letter", "HEINTЖИ")
def test_capitals_stand_as_high_as_said(letter, capital_mm):
    left, top, right, bottom = box(outline(letter, capital_mm, at=(10.0, 100.0)))
    assert bottom - top == pytest.approx(capital_mm, abs=0.1)
    assert bottom == pytest.approx(100.0, abs=0.01)
    over = 0.02 * capital_mm  # some letters lean over their own edges
    assert 10.0 - over <= left < right <= 10.0 + width_mm(letter, capital_mm) + over


def test_strokes_of_a_sign_are_at_least_five_mm_wide():
    left, _, right, _ = box(outline("I", 25.0, at=(0.0, 0.0)))
    assert right - left >= 5.0


def test_a_sign_is_as_large_as_it_says():
    svg = label_svg(SIGN)
    root, face = ET.fromstring(svg), lay_out(SIGN)
    width, height = root.get("width"), root.get("height")
    assert (width, height) == (f"{face.width_mm:g}mm", f"{face.height_mm:.2f}mm")
    # one unit of the drawing is one millimetre
    assert root.get("viewBox") == f"0 0 {width[:-2]} {height[:-2]}"
    assert root.find(f"{SVG}title").text.startswith("Rainwater, Do not drink. For flushing")
    assert face.width_mm in WIDTHS


def test_a_drawn_sign_has_its_capitals_at_true_height():
    capitals = replace(SIGN, head=("HILT",), more="")
    (path,) = paths_of(label_svg(capitals))
    _, top, _, bottom = box(path)
    assert bottom - top == pytest.approx(25.0, abs=0.1)


@pytest.mark.parametrize("label", [SIGN, PIPE, replace(PIPE, letters_mm=88.9, width_mm=812.8)])
def test_letters_stay_inside_the_frame(label):
    for flow in flows(label):
        face = lay_out(label, flow)
        for path in paths_of(label_svg(label, flow)):
            left, top, right, bottom = box(path)
            assert face.edge_mm * 0.3 <= left < right <= face.width_mm - face.edge_mm * 0.3
            assert 0.3 * face.edge_mm <= top < bottom <= face.height_mm - 0.3 * face.edge_mm


def test_a_wider_word_takes_the_next_width():
    short, long = replace(SIGN, head=("Rain",)), replace(SIGN, head=("Rainwater for animals",))
    assert lay_out(short).width_mm == 200.0
    wide = lay_out(long)
    needed = width_mm("Rainwater for animals", 25.0) + 2 * wide.edge_mm
    assert wide.width_mm == min(width for width in WIDTHS if width >= needed)


def test_a_pipe_says_its_words_on_one_line_or_by_two():
    one = lay_out(replace(PIPE, width_mm=300.0, most_height_mm=40.0))
    assert [line.text for line in one.lines] == ["Rainwater do not drink →"]
    two = lay_out(replace(PIPE, width_mm=150.0, most_height_mm=60.0))
    assert [line.text for line in two.lines] == ["Rainwater", "do not drink →"]
    left = lay_out(replace(PIPE, width_mm=150.0, most_height_mm=60.0), "left")
    assert [line.text for line in left.lines] == ["← Rainwater", "do not drink"]
    # too low for two: wider, on one line
    low = lay_out(replace(PIPE, width_mm=150.0, most_height_mm=30.0))
    assert (len(low.lines), low.height_mm <= 30.0) == (1, True)


def test_what_no_width_makes_low_enough_is_as_low_as_can_be():
    face = lay_out(replace(PIPE, width_mm=150.0, most_height_mm=20.0, more="See the card."))
    assert [line.text for line in face.lines] == ["Rainwater do not drink →", "See the card."]
    needed = width_mm("Rainwater do not drink →", 12.7) + 2 * face.edge_mm
    assert face.width_mm == min(width for width in WIDTHS if width >= needed)


def test_small_print_is_read_and_never_larger_than_the_large():
    assert small_mm(12.7) >= 3.0
    for letters in (8.0, 12.7, 19.05, 25.0, 88.9):
        assert 4.0 <= small_mm(letters) < letters


@pytest.mark.parametrize("name", ["Café Señora Niñón", "Старый дом у ручья", "Κήπος", "a" * 300])
def test_names_of_many_tongues_and_lengths(name):
    named = replace(SIGN, more=f"{name}: 5,000 L.")
    face = lay_out(named)
    for line in face.lines:
        assert width_mm(line.text, line.capital_mm, weight=line.weight) <= face.width_mm
    assert "".join(name.split()) in "".join(line.text for line in face.lines).replace(" ", "")
    sheets = label_sheets([named], system="metric", site=name)
    assert sheets
    assert all(ET.fromstring(page) is not None for page in sheets)


def test_letters_that_are_composed_of_two_are_one():
    assert outline("é", 10.0, at=(0.0, 0.0)) == outline("e\u0301", 10.0, at=(0.0, 0.0))


def test_a_letter_that_the_fonts_lack_is_a_sentence():
    with pytest.raises(EavewellFault, match="'水'") as refused:
        label_svg(replace(SIGN, more="Tank 水."))
    assert "Latin, Greek or Cyrillic" in str(refused.value)
    with pytest.raises(EavewellFault) as both:
        refuse_missing(["水", "fine", "井"])
    assert len(both.value.faults) == 2
    with pytest.raises(EavewellFault, match="水"):
        label_sheets([SIGN], system="us", site="水")


def test_all_words_of_the_tables_are_in_the_fonts():
    refuse_missing(f"{row['head']} {row['more']}" for row in rows("label_words"))


def test_wrapping_keeps_every_word():
    text = "The air inside can kill, and kills those who climb in to help."
    for most in (40.0, 60.0, 100.0, 400.0):
        lines = wrapped(text, 5.0, most_mm=most, weight="Medium")
        even = wrapped_evenly(text, 5.0, most_mm=most, weight="Medium")
        assert " ".join(lines) == " ".join(even) == text
        assert len(lines) == len(even)
        assert all(width_mm(line, 5.0, weight="Medium") <= most for line in (*lines, *even))
    assert "".join(wrapped("a" * 50, 5.0, most_mm=30.0)) == "a" * 50
    assert wrapped("", 5.0, most_mm=30.0) == ()


def luminance(colour):
    """Relative luminance of WCAG 2.2."""
    parts = [int(colour[at : at + 2], 16) / 255.0 for at in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("row", rows("label_colours"), ids=lambda row: row["colours"])
def test_letters_stand_out_from_their_ground(row):
    low, high = sorted((luminance(row["letters"]), luminance(row["ground"])))
    # WCAG 2.2 asks 7 to 1 of its strictest level
    assert (high + 0.05) / (low + 0.05) >= 7.0


def test_the_check_bar_is_a_hundred_mm():
    (page,) = label_sheets([SIGN], system="metric", site="Quailwater")
    root = ET.fromstring(page)
    assert (root.get("width"), root.get("height")) == ("297mm", "210.00mm")
    (bar,) = [one for one in root.iter(f"{SVG}path") if one.get("id") == "check-bar"]
    assert re.match(r"M10 \S+h100m", bar.get("d"))
    letter = ET.fromstring(label_sheets([SIGN], system="us", site="Quailwater")[0])
    assert (letter.get("width"), letter.get("height")) == ("279.4mm", "215.90mm")


def grounds(page):
    """Upper left corner and size of every label on a sheet, mm."""
    for group in ET.fromstring(page).findall(f"{SVG}g"):
        x, y = map(float, re.findall(r"[\d.]+", group.get("transform")))
        inner = group.find(f"{SVG}svg")
        shown = group.find(f"{SVG}rect") if inner is None else inner
        yield x, y, float(shown.get("width")), float(shown.get("height"))


@pytest.mark.parametrize("system", ["us", "metric"])
def test_sheets_hold_every_label_once_and_none_lies_on_another(system):
    labels = [replace(SIGN, head=(f"Rain {number}",)) for number in range(5)] + [PIPE]
    sheets = label_sheets(labels, system=system, site="Quailwater")
    placed = [list(grounds(page)) for page in sheets]
    assert sum(map(len, placed)) == 5 + 2  # the pipe's arrow both ways
    width, height = room(system)
    for page in placed:
        below = 0.0
        for x, y, wide, high in page:
            assert y >= below
            below = y + high + GAP - 0.1
            assert x + wide <= width + 10.1
        assert below <= height + 19.1


@pytest.mark.parametrize("size", [(63.5, 609.6, None), (88.9, 812.8, 150.0), (31.75, 304.8, None)])
def test_a_large_label_is_printed_in_pieces(size):
    letters, least, seen = size
    large = replace(PIPE, letters_mm=letters, width_mm=least, most_height_mm=seen)
    pieces = [
        one
        for page in label_sheets([large], system="us", site="Quailwater")
        for one in grounds(page)
    ]
    faces = [lay_out(large, flow) for flow in flows(large)]
    area = sum(face.width_mm * face.height_mm for face in faces)
    assert sum(wide * high for _, _, wide, high in pieces) == pytest.approx(area, rel=1e-3)
    width, height = room("us")
    assert all(wide <= width and high <= height for _, _, wide, high in pieces)
    assert len(pieces) > len(faces)
