"""The frame of a sheet and its title block: what it shows, what it rests on, its scale."""

from collections.abc import Iterator
from dataclasses import replace

from eavewell.drawings.boxes import Box
from eavewell.drawings.compose import MARGIN_MM, size_mm
from eavewell.drawings.letters import wrapped
from eavewell.drawings.marks import LETTER_MM, Mark, Sheet, Stroke, Text, View
from eavewell.tables import texts

WORDS = texts.words("sheets")
BLOCK_MM, FOOT_MM, PAD_MM, WORDS_MM, LINES = 25.0, 7.0, 3.0, 2.8, 2
ROOM_MM = (30.0, 26.0)
CHECKED = (WORDS.say("title_block.checked"), "")
CAUTION = WORDS.say("title_block.caution")


def room_of(size: str) -> Box:
    """The room for views, with space for words beside and above them."""
    width, height = size_mm(size)
    side, top = ROOM_MM
    return Box(
        MARGIN_MM + side, MARGIN_MM + BLOCK_MM + 14.0, width - MARGIN_MM - side, height - top
    )


def framed(sheet: Sheet) -> Sheet:
    """The sheet with its frame and title block as a view of its own in millimetres."""
    width, height = size_mm(sheet.size)
    left, right, top = MARGIN_MM, width - MARGIN_MM, MARGIN_MM + BLOCK_MM
    marks: list[Mark] = [
        _box(left, MARGIN_MM, right=right, high=height - MARGIN_MM),
        Stroke("frame", ((left, top), (right, top))),
        Stroke("frame", ((left, MARGIN_MM + FOOT_MM), (right, MARGIN_MM + FOOT_MM))),
        Text("text", (left + PAD_MM, MARGIN_MM + 2.4), CAUTION, bold=True),
    ]
    fields = (*sheet.block, CHECKED)
    wide = (right - left) / len(fields)
    for at, (label, words) in enumerate(fields):
        marks += _field(label, words, left=left + at * wide, wide=wide, first=at == 0)
    frame = View("frame", tuple(marks), 1.0, 1.0, in_mm=True)
    return replace(sheet, views=(*sheet.views, frame))


def _field(label: str, words: str, *, left: float, wide: float, first: bool) -> Iterator[Mark]:
    """One field of the title block; its words smaller where two lines do not hold them."""
    top, most = MARGIN_MM + BLOCK_MM, wide - 2.0 * PAD_MM
    if not first:
        yield Stroke("frame", ((left, MARGIN_MM + FOOT_MM), (left, top)))
    yield Text("text", (left + PAD_MM, top - 4.6), label)
    lines, capital = wrapped(words, WORDS_MM, most_mm=most), WORDS_MM
    if len(lines) > LINES:
        lines, capital = wrapped(words, LETTER_MM, most_mm=most), LETTER_MM
    if len(lines) > LINES:
        lines = (*lines[: LINES - 1], f"{lines[LINES - 1][:-3].rstrip()}...")
    for row, line in enumerate(lines):
        y = top - 10.0 - (capital + 2.0) * row
        yield Text("text", (left + PAD_MM, y), line, capital, bold=True)


def _box(left: float, low: float, *, right: float, high: float) -> Stroke:
    return Stroke("frame", ((left, low), (left, high), (right, high), (right, low)), closed=True)
