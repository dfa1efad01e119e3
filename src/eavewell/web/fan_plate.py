"""The fan of the years as a drawn plate: how much all tanks hold, evening by evening."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from html import escape
from typing import Any

from markupsafe import Markup

from eavewell.answers.shown import MONTHS, Sizes, day
from eavewell.units import read
from eavewell.web.curve_plate import round_step

LEFT, RIGHT, TOP, LOW = 92.0, 532.0, 26.0, 282.0
STEPS = 5.0
# tenths of the years by their place: driest, ..., middle, ..., wettest
BANDS = ((0, 8), (1, 7), (2, 6), (3, 5))
DRIEST, MIDDLE, WETTEST = 0, 4, 8


def fan_plate(answer: Mapping[str, Any]) -> Markup:
    """Of a look ahead: the tenths of its years, with no load ordered where trucks come."""
    ways = {way["name"]: way for way in answer["ways"]}
    way = ways.get("no loads", ways["as stated"])
    tenths = [one["evening_l"] for one in way["tenths"]]
    most_l = max(max(row) for row in tenths) or 1.0
    plate = _Plate(date.fromisoformat(answer["day"]), len(tenths[0]), most_l)
    sizes = Sizes(answer["show"])
    bands = (_band(plate, low=tenths[low], high=tenths[high]) for low, high in BANDS)
    parts = [
        '<svg class="plate fan" viewBox="0 0 560 366" role="img" '
        f'aria-label="{_named(way, answer)}">',
        *bands,
        *_frame(plate, sizes),
        f'<path class="supplied" d="M{_points(plate, tenths[MIDDLE])}"/>',
        f'<path class="dry" d="M{_points(plate, tenths[DRIEST])}"/>',
        *(_reach(plate, one["until"]) for one in answer["reach"]),
        *_come(plate, answer),
        "</svg>",
    ]
    return Markup("".join(parts))


@dataclass(frozen=True, slots=True)
class _Plate:
    """Where a day and a volume lie on the plate."""

    first: date
    days: int
    most_l: float

    def x(self, evening: float) -> float:
        return LEFT + (RIGHT - LEFT) * evening / max(self.days - 1, 1)

    def x_of(self, iso: str) -> float:
        return self.x(min(max((date.fromisoformat(iso) - self.first).days, 0), self.days - 1))

    def y(self, held_l: float) -> float:
        return LOW - (LOW - TOP) * held_l / self.most_l


def _named(way: Mapping[str, Any], answer: Mapping[str, Any]) -> str:
    """The plate in words; its numbers stand in the table below it."""
    dry = way["dry"]
    driest = (
        f"the driest tenth of years is dry by {day(dry['driest_tenth'])}"
        if dry["driest_tenth"]
        else "fewer than one year in ten runs dry"
    )
    says = (
        f"Water in all tanks for a year from {day(answer['day'])} through {answer['years']} years"
    )
    return escape(f"{says}, from the driest tenth to the wettest: {driest}.")


def _points(plate: _Plate, row: Sequence[float]) -> str:
    return "L".join(f"{plate.x(n):.1f} {plate.y(held):.1f}" for n, held in enumerate(row))


def _band(plate: _Plate, *, low: Sequence[float], high: Sequence[float]) -> str:
    back = "L".join(f"{plate.x(n):.1f} {plate.y(high[n]):.1f}" for n in reversed(range(plate.days)))
    return f'<path class="band" d="M{_points(plate, low)}L{back}Z"/>'


def _frame(plate: _Plate, sizes: Sizes) -> list[str]:
    """Round volumes up the side, the firsts of months along the foot, names of the lines."""
    parts = [f'<path class="ink" d="M{LEFT} {TOP}V{LOW}H{RIGHT}"/>']
    unit_l = read("1 gal", "volume") if sizes.system == "us" else 1.0
    step_l = unit_l * round_step(plate.most_l / STEPS / unit_l)
    for number in range(int(plate.most_l / step_l) + 1):
        y = plate.y(number * step_l)
        parts.append(f'<path class="hair" d="M{LEFT} {y:.1f}H{RIGHT}"/>')
        words = escape(sizes.volume(number * step_l))
        parts.append(f'<text class="end" x="{LEFT - 8}" y="{y + 4:.1f}">{words}</text>')
    for n in range(plate.days):
        when = plate.first + timedelta(days=n)
        if when.day == 1:
            odd = " other" if when.month % 2 == 0 else ""
            parts.append(f'<path class="ink" d="M{plate.x(n):.1f} {LOW}v5"/>')
            parts.append(
                f'<text class="mid{odd}" x="{plate.x(n):.1f}" y="{LOW + 22}">'
                f"{MONTHS[when.month - 1]}</text>"
            )
    return [*parts, *_key()]


def _key() -> list[str]:
    """What the lines are."""
    first, second, right = LOW + 48, LOW + 72, LEFT + 230
    return [
        f'<path class="supplied" d="M{LEFT} {first - 4}h26"/>',
        f'<text x="{LEFT + 32}" y="{first}">middle of the years</text>',
        f'<path class="dry" d="M{right} {first - 4}h26"/>',
        f'<text x="{right + 32}" y="{first}">driest tenth</text>',
        f'<rect class="band" x="{LEFT}" y="{second - 11}" width="26" height="12"/>',
        f'<text x="{LEFT + 32}" y="{second}">eight years of ten</text>',
    ]


def _reach(plate: _Plate, until: str) -> str:
    x = plate.x_of(until)
    return (
        f'<path class="goal" d="M{x:.1f} {LOW}V{TOP - 6}"/>'
        f'<text class="pencil mid" x="{x:.1f}" y="{TOP - 8}">{day(until)}</text>'
    )


def _come(plate: _Plate, answer: Mapping[str, Any]) -> list[str]:
    """Pencil marks at the foot where rain or a load is counted on."""
    days = {one["day"] for one in (*answer["rains"], *answer["loads"])}
    marks = (plate.x_of(when) for when in sorted(days) if when >= answer["day"])
    return [f'<path class="pencil" d="M{x:.1f} {LOW - 14}v12m-4 -5l4 5l4 -5"/>' for x in marks]
