"""The key of a schematic: every number, what wears it, how it stands, what it holds."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from eavewell.drawings.boxes import Box
from eavewell.drawings.held import held
from eavewell.drawings.letters import shortened, wrapped
from eavewell.drawings.marks import HEADING_MM, LETTER_MM, Mark, Text
from eavewell.drawings.tags import Tag
from eavewell.site.site import Site
from eavewell.tables import texts

WORDS = texts.words("sheets")
KEY_MM = 116.0
HEAD_MM, FOOT_MM, STEP_MM, SIDE_MM = 13.0, 4.0, 4.5, 4.0
NUMBER_MM, STANDS_MM, INDENT_MM, LONGEST = 9.0, 12.0, 3.0, 60


@dataclass(frozen=True, slots=True)
class Line:
    """One printed line of the key."""

    number: str
    words: str
    stands: str = ""
    indented: bool = False


def lines_of_key(site: Site, numbered: tuple[Tag, ...]) -> tuple[Line, ...]:
    """Every printed line of the key, in the order of the numbers."""
    return tuple(_lines(site, numbered))


def lines_that_fit(room: Box) -> int:
    """How many of its lines a column has room for."""
    return int((room.high - room.low - HEAD_MM - FOOT_MM) / STEP_MM) + 1


def column(lines: Sequence[Line], *, room: Box) -> Iterator[Mark]:
    """One column of the key."""
    left, right, top = room.left + SIDE_MM, room.right - SIDE_MM, room.high - 7.5
    yield Text("text", (left, top), WORDS.say("schematic_key.column.key"), HEADING_MM, bold=True)
    yield Text("text", (right, top), "normally", anchor="right")
    for at, line in enumerate(lines):
        y = room.high - HEAD_MM - 1.5 - at * STEP_MM
        if line.number:
            yield Text("text", (left + 6.0, y), line.number, anchor="right", bold=True)
        x = left + NUMBER_MM + (INDENT_MM if line.indented else 0.0)
        yield Text("text", (x, y), line.words)
        if line.stands:
            yield Text("text", (right, y), line.stands, anchor="right")


def _lines(site: Site, numbered: tuple[Tag, ...]) -> Iterator[Line]:
    for tag in numbered:
        yield from _of_tag(tag)
    loose = [one.words for one in held(site) if not one.lines and not one.floats]
    if loose:
        yield Line("", WORDS.say("schematic_key.lines.held_back_but_by"))
    for words in loose:
        yield from _held(words)


def _of_tag(tag: Tag) -> Iterator[Line]:
    room = KEY_MM - NUMBER_MM - STANDS_MM - 2.0 * SIDE_MM
    words = shortened(tag.words, LONGEST)
    first, *more = wrapped(words, LETTER_MM, most_mm=room, weight="Medium")
    yield Line(str(tag.number), first, tag.normally)
    for rest in more:
        yield Line("", rest)
    for words in tag.holds:
        yield from _held(words)


def _held(words: str) -> Iterator[Line]:
    room = KEY_MM - NUMBER_MM - INDENT_MM - 2.0 * SIDE_MM
    for line in wrapped(shortened(words, 130), LETTER_MM, most_mm=room, weight="Medium"):
        yield Line("", line, indented=True)
