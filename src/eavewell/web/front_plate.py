"""Choices as a printed plate: days met over what a whole life costs, each one a way to itself."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from html import escape
from typing import Any

from markupsafe import Markup

from eavewell.report.cost import money
from eavewell.web.curve_plate import round_step

Plain = Mapping[str, Any]
LEFT, RIGHT, TOP, LOW = 70.0, 600.0, 34.0, 244.0
ON_AXIS, REACH = 5, 18.0
# where a number may stand beside its dot, the best place first; how far from everything else
BESIDE = ((0.0, -17.0), (-17.0, 0.0), (17.0, 0.0), (0.0, 17.0), (-15.0, -12.0), (15.0, 12.0))
CLEAR = 14.0
Point = tuple[float, float]


def front_plate(answer: Plain, choices: Sequence[Plain], *, way: str, picked: int | None) -> Markup:
    """Every choice at its place, numbered as in the list; nothing without two of them.

    way : address of the page on which one is picked. picked : the one that is.
    """
    if len(choices) < 2:
        return Markup()
    across = _Axis.around([one["choice"]["life"]["typical"] for one in choices], (LEFT, RIGHT))
    up = _Axis.around([one["choice"]["days_met_share"] for one in choices], (LOW, TOP), most=1.0)
    named = escape(f"Choices of {answer['site']}: days met over the cost of the whole life")
    parts = [
        f'<svg class="plate front" viewBox="0 0 640 308" role="group" aria-label="{named}">',
        *_frame(answer, across=across, up=up),
        _line(answer["by_days"], across=across, up=up),
        *_marks(choices, (across, up), way=way, picked=picked),
        "</svg>",
    ]
    return Markup("".join(parts))


@dataclass(frozen=True, slots=True)
class _Axis:
    """A scale from one round number to another; ends : where they lie on the paper."""

    low: float
    high: float
    step: float
    ends: tuple[float, float]

    @classmethod
    def around(
        cls, values: Sequence[float], ends: tuple[float, float], *, most: float = math.inf
    ) -> "_Axis":
        """Around all values, with some room at both ends."""
        low, high = min(values), max(values)
        step = round_step(max(high - low, 0.05 * abs(high), 1e-3) / (ON_AXIS - 1))
        low, high = step * math.floor(low / step - 0.3), step * math.ceil(high / step + 0.3)
        return cls(max(low, 0.0), min(high, most), step, ends)

    def at(self, value: float) -> float:
        """Where a value lies on the paper."""
        begin, end = self.ends
        return begin + (end - begin) * (value - self.low) / (self.high - self.low)

    def marks(self) -> Iterator[float]:
        """Every round number on it."""
        for number in range(round((self.high - self.low) / self.step + 1e-6) + 1):
            if self.low + number * self.step <= self.high * (1.0 + 1e-9):
                yield self.low + number * self.step


def _frame(answer: Plain, *, across: _Axis, up: _Axis) -> Iterator[str]:
    yield f'<path class="ink" d="M{LEFT} {TOP}V{LOW}H{RIGHT}"/>'
    for share in up.marks():
        y = up.at(share)
        yield f'<path class="hair" d="M{LEFT} {y:.1f}H{RIGHT}"/>'
        yield f'<text x="{LEFT - 8}" y="{y + 4:.1f}" class="end">{100 * share:.3g} %</text>'
    for cost in across.marks():
        x = across.at(cost)
        yield f'<path class="ink" d="M{x:.1f} {LOW}v5"/>'
        yield f'<text x="{x:.1f}" y="{LOW + 27}" class="mid">{money(cost)}</text>'
    yield f'<text x="{LEFT}" y="{TOP - 14}">days met</text>'
    words = escape(f"{answer['currency']} over {answer['years']} years")
    yield f'<text x="{RIGHT}" y="{LOW + 51}" class="end">{words}</text>'


def _line(front: Sequence[Plain], *, across: _Axis, up: _Axis) -> str:
    """The front: between two choices of it there is none."""
    points = "L".join(
        f"{across.at(one['life']['typical']):.1f} {up.at(one['days_met_share']):.1f}"
        for one in front
    )
    return f'<path class="days" d="M{points}"/>' if len(front) > 1 else ""


def _marks(
    choices: Sequence[Plain], axes: tuple[_Axis, _Axis], *, way: str, picked: int | None
) -> Iterator[str]:
    dots = [
        (
            axes[0].at(one["choice"]["life"]["typical"]),
            axes[1].at(one["choice"]["days_met_share"]),
        )
        for one in choices
    ]
    numbers = _numbers(dots)
    for row, one in enumerate(choices):
        places = (dots[row], numbers[row])
        yield _mark(one, row, places=places, way=way, picked=row == picked)


def _numbers(dots: Sequence[Point]) -> list[Point]:
    """Where the number of each dot stands: beside it, clear of the other dots and numbers."""
    placed: list[Point] = []
    for x, y in dots:
        others = [*dots, *placed]
        tried = [(x + right, y + down) for right, down in BESIDE]
        clear = [min(math.dist(one, other) for other in others) for one in tried]
        best = next((at for at, gap in enumerate(clear) if gap >= CLEAR), clear.index(max(clear)))
        placed.append(tried[best])
    return placed


def _mark(one: Plain, row: int, *, places: tuple[Point, Point], way: str, picked: bool) -> str:
    """A numbered dot that leads to its choice; the present is crossed as with a pencil."""
    (x, y), (number_x, number_y) = places
    words = escape(f"{row + 1}: {one['words']}{'; as it stands' if one['present'] else ''}")
    here = ' aria-current="true"' if picked else ""
    cross = (
        f'<path class="pencil" d="M{x - 13:.1f} {y - 13:.1f}l26 26m-26 0l26 -26"/>'
        if one["present"]
        else ""
    )
    return (
        f'<a href="{escape(way)}?choice={row}#choices" aria-label="{words}"{here}><title>{words}'
        f'</title><circle class="touch" cx="{x:.1f}" cy="{y:.1f}" r="{REACH}"/>{cross}'
        f'<circle class="dot{" picked" if picked else ""}" cx="{x:.1f}" cy="{y:.1f}" r="5.5"/>'
        f'<text x="{number_x:.1f}" y="{number_y + 4.5:.1f}" class="mid number">{row + 1}</text></a>'
    )
