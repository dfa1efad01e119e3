"""The curve of sizes as a printed plate, with a pencil mark at the size as drawn."""

import math
from collections.abc import Mapping
from html import escape
from typing import Any

from markupsafe import Markup

from eavewell.answers.shown import Sizes
from eavewell.units import read

LEFT, RIGHT, TOP, LOW = 66.0, 600.0, 26.0, 214.0
REACH = 2.5
ON_AXIS, ROUND = 5.0, (1.0, 2.0, 2.5, 5.0, 10.0)


def curve_plate(answer: Mapping[str, Any]) -> Markup:
    """Supplied share and days met over the size of the tank that is sought; nothing without one."""
    sizing = answer["sizing"]
    curve = [one for one in sizing["curve"] if one["capacity_l"] > 0.0]
    drawn = [one for one in answer["storage"]["stores"] if one["name"] == sizing["store"]]
    if len(curve) < 2 or not drawn:
        return Markup()
    sizes = Sizes(answer["place"]["show"])
    at_l = drawn[0]["usable_l"]
    reach = min(curve[-1]["capacity_l"], REACH * max(at_l, sizing["smallest_l"] or 0.0))
    supplied = answer["storage"]["supplied_share"]
    says = (
        f"{sizing['store']} as drawn, {sizes.volume(at_l)}",
        f"{sizes.share(supplied)} of the water supplied",
    )
    named = escape(": ".join(says))
    shown = [one for one in curve if one["capacity_l"] <= reach]
    parts = [
        f'<svg class="plate" viewBox="0 0 640 270" role="img" aria-label="{named}">',
        *_frame(reach, sizes),
        *_lines(shown, reach),
        _pencil(at_l, supplied, reach=reach, says=says),
        _smallest(sizing["smallest_l"], reach),
        "</svg>",
    ]
    return Markup("".join(parts))


def _x(litres: float, reach: float) -> float:
    return LEFT + (RIGHT - LEFT) * min(litres / reach, 1.0)


def _y(share: float) -> float:
    return LOW - (LOW - TOP) * share


def _frame(reach: float, sizes: Sizes) -> list[str]:
    """Ruled lines at each fifth, sizes along the foot."""
    parts = [f'<path class="ink" d="M{LEFT} {TOP}V{LOW}H{RIGHT}"/>']
    for fifth in range(1, 6):
        y = _y(fifth / 5)
        parts.append(f'<path class="hair" d="M{LEFT} {y:.1f}H{RIGHT}"/>')
        parts.append(f'<text x="{LEFT - 8}" y="{y + 4:.1f}" class="end">{20 * fifth} %</text>')
    step = _round_l(reach / ON_AXIS, sizes)
    for number in range(int(reach / step) + 1):
        x, words = _x(number * step, reach), escape(sizes.volume(number * step))
        parts.append(f'<path class="ink" d="M{x:.1f} {LOW}v5"/>')
        parts.append(f'<text x="{x:.1f}" y="{LOW + 24}" class="mid">{words}</text>')
    parts.append(f'<text x="{LEFT}" y="{LOW + 46}">usable volume</text>')
    return parts


def _round_l(least_l: float, sizes: Sizes) -> float:
    """The next round volume in the reader's unit, in litres."""
    unit_l = read("1 gal", "volume") if sizes.system == "us" else 1.0
    return unit_l * round_step(least_l / unit_l)


def round_step(least: float) -> float:
    """The next round number for the steps of an axis, such as 250 for 230."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(one * power for one in ROUND if one * power >= least * (1.0 - 1e-9))


def _lines(curve: list[Mapping[str, Any]], reach: float) -> list[str]:
    """Both curves, the name of the higher above it and of the lower below it."""
    kinds = {"days": "days_met_share", "supplied": "supplied_share"}
    higher = max(kinds, key=lambda kind: float(curve[-1][kinds[kind]]))
    return [
        _line(curve, key, kind=kind, up=kind == higher, reach=reach) for kind, key in kinds.items()
    ]


def _line(curve: list[Mapping[str, Any]], key: str, *, kind: str, up: bool, reach: float) -> str:
    points = "L".join(f"{_x(one['capacity_l'], reach):.1f} {_y(one[key]):.1f}" for one in curve)
    words = {"supplied": "water supplied", "days": "days met"}[kind]
    y = _y(curve[-1][key]) + (-7.0 if up else 20.0)
    return (
        f'<path class="{kind}" d="M{points}"/>'
        f'<text x="{RIGHT}" y="{y:.1f}" class="end {kind}">{words}</text>'
    )


def _smallest(litres: float | None, reach: float) -> str:
    if litres is None or litres > reach:
        return ""
    x = _x(litres, reach)
    anchor, at = ("end", x - 5.0) if x > 0.53 * RIGHT else ("", x + 5.0)
    return (
        f'<path class="goal" d="M{x:.1f} {LOW}V{TOP}"/>'
        f'<text x="{at:.1f}" y="{LOW - 6}" class="small {anchor}">'
        "smallest that reaches the goal</text>"
    )


def _pencil(litres: float, share: float, *, reach: float, says: tuple[str, ...]) -> str:
    """A cross and a note, as one makes with a pencil on a print."""
    x, y = _x(litres, reach), _y(share)
    right = x > 0.55 * RIGHT
    anchor, at = ("end", x - 10.0) if right else ("", x + 10.0)
    return (
        f'<path class="pencil" d="M{x - 7:.1f} {y - 6:.1f}L{x + 7:.1f} {y + 6:.1f}'
        f'M{x - 6:.1f} {y + 7:.1f}L{x + 6:.1f} {y - 7:.1f}M{x:.1f} {y:.1f}V{LOW}"/>'
    ) + "".join(
        f'<text x="{at:.1f}" y="{min(y + 34, LOW - 56) + 21 * row:.1f}" class="pencil {anchor}">'
        f"{escape(line)}</text>"
        for row, line in enumerate(says)
    )
