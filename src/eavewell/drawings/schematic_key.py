"""The key of a schematic: every number, what wears it, how it stands, what it holds."""

from collections.abc import Iterator
from dataclasses import dataclass

from eavewell.drawings.boxes import Box
from eavewell.drawings.held import held
from eavewell.drawings.letters import shortened, wrapped
from eavewell.drawings.marks import Mark, Text
from eavewell.drawings.tags import Tag
from eavewell.site.site import Site

KEY_MM = 112.0
HEAD_MM, ROW_MM, CAPITAL_MM = 12.0, 3.7, 1.75
NUMBER_MM, STANDS_MM, LONGEST = 8.0, 13.0, 60


@dataclass(frozen=True, slots=True)
class Line:
    """One printed line of the key."""

    number: str
    words: str
    stands: str = ""
    indented: bool = False


def key(site: Site, numbered: tuple[Tag, ...], *, room: Box) -> Iterator[Mark]:
    """The list in a room of paper; smaller where it is long."""
    lines = tuple(_lines(site, numbered))
    high = room.high - room.low - HEAD_MM - 4.0
    step = min(ROW_MM, high / max(len(lines), 1))
    capital = CAPITAL_MM * step / ROW_MM
    left, top = room.left + 4.0, room.high - 7.0
    yield Text("text", (left, top), "Key", 2.6, bold=True)
    yield Text("text", (room.right - 4.0, top), "normally", 1.5, "right")
    for at, line in enumerate(lines):
        y = room.high - HEAD_MM - 1.0 - at * step
        yield from _line(line, (left, y), right=room.right - 4.0, capital=capital)


def _line(line: Line, at: tuple[float, float], *, right: float, capital: float) -> Iterator[Mark]:
    x, y = at
    if line.number:
        yield Text("text", (x + 5.0, y), line.number, capital, "right", bold=True)
    yield Text("text", (x + NUMBER_MM, y), line.words, capital * (0.88 if line.indented else 1.0))
    if line.stands:
        yield Text("text", (right, y), line.stands, capital, "right")


def _lines(site: Site, numbered: tuple[Tag, ...]) -> Iterator[Line]:
    for tag in numbered:
        yield from _of_tag(tag)
    loose = [one.words for one in held(site) if not one.lines and not one.floats]
    if loose:
        yield Line("", "Held back, but by no valve or float of this drawing:")
    for words in loose:
        yield from _held(words)


def _of_tag(tag: Tag) -> Iterator[Line]:
    room = KEY_MM - NUMBER_MM - STANDS_MM - 8.0
    words = shortened(tag.words, LONGEST)
    first, *more = wrapped(words, CAPITAL_MM, most_mm=room, weight="Medium")
    yield Line(str(tag.number), first, tag.normally)
    for rest in more:
        yield Line("", rest)
    for words in tag.holds:
        yield from _held(words)


def _held(words: str) -> Iterator[Line]:
    room = KEY_MM - NUMBER_MM - 8.0
    lines = wrapped(shortened(words, 130), CAPITAL_MM * 0.88, most_mm=room, weight="Medium")
    for line in lines:
        yield Line("", line, indented=True)
