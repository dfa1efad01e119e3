"""The stick of a tank as a drawing: its scale, the marks, and where the water stands today."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape
from typing import Any

from markupsafe import Markup

from eavewell.answers.shown import Sizes
from eavewell.drawings.letters import capital_share, width_mm
from eavewell.report.stick import NOW, marks, on_stick
from eavewell.units import read
from eavewell.web.curve_plate import round_step

TOP, LOW, LEFT, RIGHT = 18.0, 330.0, 58.0, 72.0
LABEL, APART, STEPS = 98.0, 19.0, 7.0
# as the style sheet writes them; the bold of today is no wider
LETTER, NARROWEST = 12.5, 360.0


@dataclass(frozen=True, slots=True)
class _Mark:
    """One mark: its height in the drawing, where its words stand, and what they are."""

    y: float
    words_y: float
    words: str
    now: bool


def stick_plate(tank: Mapping[str, Any], answer: Mapping[str, Any]) -> Markup:
    """Of a tank of the look ahead; nothing of one whose shape is unknown or that was never read."""
    if not tank["was_read"] or not tank["full_m"]:
        return Markup()
    sizes = Sizes(answer["show"])
    found = [
        (level_m, f"{on_stick(level_m, sizes)}: {_words(says)}, {sizes.volume(total_l)}", says)
        for total_l, level_m, says in marks(dict(tank), dict(answer), sizes=sizes)
        if level_m is not None
    ]
    highest = max(level_m for level_m, _, _ in found)
    placed = _placed([(_y(level_m, highest), words, says) for level_m, words, says in found])
    named = escape(f"Stick of {tank['name']}: " + "; ".join(one.words for one in placed))
    foot = max(LOW, *(one.words_y for one in placed)) + 14.0
    return Markup(
        "".join(
            [
                f'<svg class="stick" viewBox="0 0 {_width(placed):.0f} {foot:.0f}" role="img" '
                f'aria-label="{named}">',
                f'<rect class="wood" x="{LEFT}" y="{TOP}" width="{RIGHT - LEFT}" '
                f'height="{LOW - TOP}"/>',
                *_scale(highest, sizes),
                *(_drawn(one) for one in placed),
                "</svg>",
            ]
        )
    )


def _width(placed: Sequence[_Mark]) -> float:
    capital = LETTER * capital_share("Bold")
    widest = max(width_mm(one.words, capital) for one in placed)
    return max(NARROWEST, LABEL + widest)


def _words(says: str) -> str:
    return says.removeprefix(NOW)


def _y(level_m: float, highest: float) -> float:
    return LOW - (LOW - TOP) * max(level_m, 0.0) / highest


def _placed(found: Sequence[tuple[float, str, str]]) -> list[_Mark]:
    """Words of marks that lie close are set apart, from the top down."""
    placed: list[_Mark] = []
    for y, words, says in found:
        least = placed[-1].words_y + APART if placed else TOP - 4.0
        placed.append(_Mark(y, max(y, least), words, says.startswith(NOW)))
    return placed


def _scale(highest: float, sizes: Sizes) -> list[str]:
    """Round lengths along the left edge."""
    unit_m = read("1 in" if sizes.system == "us" else "1 cm", "length")
    step_m = unit_m * round_step(highest / STEPS / unit_m)
    parts = []
    for number in range(int(highest / step_m) + 1):
        y = _y(number * step_m, highest)
        parts.append(f'<path class="hair" d="M{LEFT} {y:.1f}h-6"/>')
        words = escape(on_stick(number * step_m, sizes))
        parts.append(f'<text class="end" x="{LEFT - 10}" y="{y + 4:.1f}">{words}</text>')
    return parts


def _drawn(one: _Mark) -> str:
    kind = "now" if one.now else "mark"
    line = (
        f'<path class="{kind}" d="M{LEFT} {one.y:.1f}H{RIGHT}L{LABEL - 6} {one.words_y:.1f}"/>'
        f'<text class="{kind}" x="{LABEL}" y="{one.words_y + 4:.1f}">{escape(one.words)}</text>'
    )
    if not one.now:
        return line
    wet = f'x="{LEFT + 5}" y="{one.y:.1f}" width="4" height="{LOW - one.y:.1f}"'
    return f'{line}<rect class="water" {wet}/>'
