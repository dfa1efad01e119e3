"""A tape to stick beside a sight tube: strips at true length, cut out and joined end to end."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from eavewell.drawings.letters import outline, refuse_missing, width_mm
from eavewell.drawings.marks import Point
from eavewell.tables import texts

WORDS = texts.words("sheets")
STRIP_MM, ASIDE_MM, CAPITAL_MM, SMALL_MM = 34.0, 1.0, 2.4, 1.7
STRIPS, HEAD_MM, FOOT_MM, OFF_MM = 5, 6.0, 2.0, 0.9
INK, RUST, FAINT = "#1f2a30", "#8f2f14", "#8a8577"


@dataclass(frozen=True, slots=True)
class Tick:
    """One line of the tape. at_mm : above the floor. stands_out : a band begins here."""

    at_mm: float
    words: str
    small: str = ""
    stands_out: bool = False


def tape_sheets(ticks: Iterable[Tick], *, piece_mm: float, high_mm: float) -> tuple[str, ...]:
    """Sheets of strips as SVG in millimetres, the lowest strip first.

    piece_mm : length of one strip. high_mm : length of the whole tape.
    Raises EavewellFault for letters that the fonts lack.
    """
    ticks = tuple(ticks)
    refuse_missing(words for tick in ticks for words in (tick.words, tick.small))
    pieces = max(1, -int(-(high_mm - 1e-6) // piece_mm))
    starts = [piece_mm * at for at in range(pieces)]
    return tuple(
        _sheet(ticks, starts[first : first + STRIPS], piece_mm=piece_mm, ends=(high_mm, pieces))
        for first in range(0, pieces, STRIPS)
    )


def sheet_size_mm(piece_mm: float) -> tuple[float, float]:
    """Width and height of one sheet of strips."""
    return STRIPS * STRIP_MM, piece_mm + HEAD_MM + FOOT_MM


def _sheet(
    ticks: tuple[Tick, ...], starts: list[float], *, piece_mm: float, ends: tuple[float, int]
) -> str:
    wide, tall = sheet_size_mm(piece_mm)
    drawn = [
        line
        for at, start in enumerate(starts)
        for line in _strip(ticks, start, x=at * STRIP_MM, piece_mm=piece_mm, ends=ends)
    ]
    size = f'width="{wide:g}mm" height="{tall:g}mm" viewBox="0 0 {wide:g} {tall:g}"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{"".join(drawn)}</svg>'


def _strip(
    ticks: tuple[Tick, ...], start: float, *, x: float, piece_mm: float, ends: tuple[float, int]
) -> Iterator[str]:
    """One strip from its lower end, its frame to cut along and its number above it."""
    (high, pieces), foot = ends, HEAD_MM + piece_mm
    long = min(piece_mm, high - start)
    wide = STRIP_MM - 2.0 * ASIDE_MM
    left = x + ASIDE_MM
    yield (
        f'<rect x="{left:g}" y="{foot - long:g}" width="{wide:g}" height="{long:g}" '
        f'fill="none" stroke="{FAINT}" stroke-width="0.2"/>'
    )
    number = round(start / piece_mm) + 1
    yield _text(
        WORDS.say("tape.strip.of", number=number, pieces=pieces),
        SMALL_MM,
        at=(left + 1.0, foot - long - 1.5),
        ink=FAINT,
    )
    for tick in ticks:
        if start - 1e-6 <= tick.at_mm < start + long - 1e-6:
            below = start + long - tick.at_mm < CAPITAL_MM + 2.0 * OFF_MM
            y = foot - (tick.at_mm - start)
            yield from _tick(tick, at=(left, y), wide=wide, below=below)


def _tick(tick: Tick, *, at: Point, wide: float, below: bool) -> Iterator[str]:
    """A line with its words over it, or below it at a strip's upper end; a band goes across."""
    (left, y), ink = at, RUST if tick.stands_out else INK
    long, thick = (wide, 0.6) if tick.stands_out else (7.0, 0.3)
    yield f'<path d="M{left:g} {y:g}h{long:g}" stroke="{ink}" stroke-width="{thick}"/>'
    small = width_mm(tick.small, SMALL_MM)
    most = wide - 1.5 - (0.0 if tick.stands_out else small + 1.0)
    capital = CAPITAL_MM * min(1.0, most / max(width_mm(tick.words, CAPITAL_MM), 1e-6))
    base = y + OFF_MM + capital if below else y - OFF_MM
    yield _text(tick.words, capital, at=(left + 0.7, base), ink=ink)
    right, under = left + wide - 0.8 - small, base
    if tick.stands_out:
        under = base + OFF_MM + SMALL_MM if below else y + OFF_MM + SMALL_MM
    yield _text(tick.small, SMALL_MM, at=(right, under), ink=ink if tick.stands_out else FAINT)


def _text(words: str, capital_mm: float, *, at: Point, ink: str) -> str:
    return f'<path d="{outline(words, capital_mm, at=at)}" fill="{ink}"/>' if words else ""
