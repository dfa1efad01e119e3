"""The small signs of a drawing, from tables/symbols.csv, as strokes in a square of one."""

from functools import cache
from math import cos, radians, sin

from eavewell.drawings.marks import LevelMark, Point, Symbol
from eavewell.tables import rows

_ROUND = 32
LEVEL_MM = 2.2


@cache
def strokes_of(what: str) -> tuple[tuple[Point, ...], ...]:
    """The strokes of a sign about its middle; a plain square for one that is not known."""
    known = {row["symbol"]: row["strokes"] for row in rows("symbols")}
    return tuple(_stroke(part.split()) for part in known.get(what, known["thing"]).split(";"))


def _stroke(words: list[str]) -> tuple[Point, ...]:
    if words[0] == "o":
        x, y, radius = (float(word) for word in words[1:])
        turns = [radians(360.0 * at / _ROUND) for at in range(_ROUND + 1)]
        return tuple((x + radius * cos(turn), y + radius * sin(turn)) for turn in turns)
    numbers = [float(word) for word in words]
    return tuple(zip(numbers[::2], numbers[1::2], strict=True))


def drawn(symbol: Symbol, at_mm: Point) -> list[tuple[Point, ...]]:
    """Its strokes on paper, turned and at its size."""
    turn = radians(symbol.turned_deg)
    return [
        tuple(
            (
                at_mm[0] + symbol.size_mm * (x * cos(turn) - y * sin(turn)),
                at_mm[1] + symbol.size_mm * (x * sin(turn) + y * cos(turn)),
            )
            for x, y in stroke
        )
        for stroke in strokes_of(symbol.what)
    ]


def level_sign(mark: LevelMark) -> Symbol:
    """The sign of a level at its place, on the layer of what is unknown where it is."""
    layer = "level" if mark.level_m is not None else "unknown"
    return Symbol(layer, mark.at, "level", LEVEL_MM, of=mark.of)
