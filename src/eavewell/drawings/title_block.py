"""The frame of a sheet and its title block: what it shows, what it rests on, its scale."""

from dataclasses import replace

from eavewell.drawings.boxes import Box
from eavewell.drawings.compose import MARGIN_MM, size_mm
from eavewell.drawings.letters import wrapped
from eavewell.drawings.marks import Mark, Sheet, Stroke, Text, View

BLOCK_MM, PAD_MM, LABELS_MM = 24.0, 3.0, 1.6
ROOM_MM = (34.0, 30.0)
CAUTION = "Screening, not for construction until checked by the trades and authorities it concerns."


def room_of(size: str) -> Box:
    """The room for views, with space for words beside and above them."""
    width, height = size_mm(size)
    side, top = ROOM_MM
    return Box(
        MARGIN_MM + side, MARGIN_MM + BLOCK_MM + 14.0, width - MARGIN_MM - side, height - top
    )


def block_of(title: str, words: dict[str, str], *, view: View) -> tuple[tuple[str, str], ...]:
    """Label and words of each field; the scale as it comes out on paper."""
    scale = f"upward 1:{1000.0 / view.up:.0f}"
    if abs(view.across - view.up) > 1e-9:
        scale += f", across 1:{1000.0 / view.across:.0f}; distances between things not to scale"
    return (("sheet", title), *words.items(), ("scale", scale))


def framed(sheet: Sheet) -> Sheet:
    """The sheet with its frame and title block as a view of its own in millimetres."""
    width, height = size_mm(sheet.size)
    top = MARGIN_MM + BLOCK_MM
    marks: list[Mark] = [
        _box(MARGIN_MM, MARGIN_MM, right=width - MARGIN_MM, high=height - MARGIN_MM),
        Stroke("frame", ((MARGIN_MM, top), (width - MARGIN_MM, top))),
    ]
    columns = len(sheet.block)
    wide = (width - 2.0 * MARGIN_MM) / max(columns, 1)
    for at, (label, words) in enumerate(sheet.block):
        left = MARGIN_MM + at * wide
        if at:
            marks.append(Stroke("frame", ((left, MARGIN_MM + 7.0), (left, top))))
        marks.append(Text("text", (left + PAD_MM, top - 4.0), label, LABELS_MM))
        lines = wrapped(words, 2.2, most_mm=wide - 2.0 * PAD_MM, weight="Medium")
        for row, line in enumerate(lines[:3]):
            marks.append(Text("text", (left + PAD_MM, top - 8.5 - 3.6 * row), line, 2.2))
    marks.append(
        Stroke("frame", ((MARGIN_MM, MARGIN_MM + 7.0), (width - MARGIN_MM, MARGIN_MM + 7)))
    )
    marks.append(Text("text", (MARGIN_MM + PAD_MM, MARGIN_MM + 2.5), CAUTION, LABELS_MM + 0.2))
    frame = View("frame", tuple(marks), 1.0, 1.0)
    return replace(sheet, views=(*sheet.views, frame))


def _box(left: float, low: float, *, right: float, high: float) -> Stroke:
    return Stroke("frame", ((left, low), (left, high), (right, high), (right, low)), closed=True)
