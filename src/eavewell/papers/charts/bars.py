"""Bars in pieces, each piece told apart by its ground and its hatch, and named on a key bar."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from eavewell.papers.charts.plate import BLUE, GREY, INK, PALE, RUST, SMALL
from eavewell.tables.texts import words

WORDS = words("charts")
PAPER = "none"


@dataclass(frozen=True, slots=True)
class Piece:
    """How one kind of water looks: ground, ink of edge and hatch, hatch."""

    name: str
    ground: str
    ink: str
    hatch: str = ""


COMES = Piece(WORDS.say("bars.comes"), PALE, BLUE)
SUPPLIED = Piece("supplied", BLUE, BLUE)
BY_MAINS = Piece(WORDS.say("bars.by_mains"), PAPER, GREY, "....")
SHORT = Piece("short", PAPER, RUST, "//////")
RATIONED = Piece(WORDS.say("bars.rationed"), PAPER, GREY)
OVERTOPPED = Piece(WORDS.say("bars.overtopped"), PAPER, RUST, "//////")
SPILLED = Piece(WORDS.say("bars.spilled"), PAPER, BLUE, "----")


def stacked(
    at: Any,
    places: Sequence[float],
    *,
    pieces: Sequence[tuple[Piece, Sequence[float]]],
    wide: float,
) -> None:
    """Bars of pieces that stand on each other, first at the bottom; none for an empty piece."""
    tops = [0.0] * len(places)
    for piece, heights in pieces:
        at.bar(places, heights, wide, tops, **_look(piece))
        tops = [top + height for top, height in zip(tops, heights, strict=True)]


def key(at: Any, groups: Sequence[Sequence[Piece]]) -> None:
    """A bar with its pieces named, on axes of its own; top piece first, groups apart."""
    at.set_axis_off()
    at.set_xlim(0.0, 1.0)
    at.set_ylim(0.0, 1.0)
    top = 1.0
    for group in groups:
        for piece in group:
            high = 0.13
            at.bar([0.09], [high], 0.14, [top - high], **_look(piece))
            at.annotate(
                piece.name,
                (0.2, top - high / 2.0),
                va="center",
                fontsize=SMALL,
                color=INK,
                linespacing=1.0,
            )
            top -= high
        top -= 0.06


def _look(piece: Piece) -> dict[str, Any]:
    look = {"facecolor": piece.ground, "edgecolor": piece.ink, "linewidth": 0.5}
    return look | ({"hatch": piece.hatch} if piece.hatch else {})
