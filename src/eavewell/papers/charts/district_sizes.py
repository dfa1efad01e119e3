"""What a larger tank brings to many roofs: supplied share, its range, and goals reached."""

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any

from eavewell.papers.charts.plate import (
    BLUE,
    INK,
    LEFT_MM,
    PALE,
    SMALL,
    WIDE_MM,
    axes,
    plate,
)
from eavewell.papers.charts.scale import per_cent, plain_numbers, volumes
from eavewell.site.place import Show
from eavewell.tables.texts import words
from eavewell.units import show

WORDS = words("programme")
Plain = Mapping[str, Any]
HIGH_MM = 82.0


def chart_district_sizes(told: Plain, *, system: Show) -> str | None:
    """Supplied share of a mean roof and roofs that reach their goals over the tank size.

    None where fewer than two sizes were tried.
    """
    sizes = told["whole"]["sizes"]
    if len(sizes) < 2:
        return None

    def draw(figure: Any) -> None:
        at = axes(figure, left=LEFT_MM, low=15.0, right=WIDE_MM - 48.0, high=HIGH_MM - 11.0)
        _curves(at, sizes, system=system)

    points = [
        WORDS.say(
            "curve.point",
            size=show(one["size_l"], "volume", system=system),
            reaching=show(one["reaching"] / one["roofs"], "share"),
            share=show(one["supplied_share"], "share"),
        )
        for one in sizes
    ]
    return plate(
        draw,
        title=WORDS.say("curve.title"),
        says=WORDS.say("curve.says", what="; ".join(points)),
        high_mm=HIGH_MM,
        foot=WORDS.say("curve.foot", name=told["name"], roofs=f"{told['whole']['roofs']:,}"),
    )


def _curves(at: Any, sizes: Sequence[Plain], *, system: Show) -> None:
    unit = volumes(sizes[-1]["size_l"], system=system)
    across = [unit.of(one["size_l"]) for one in sizes]
    share = [one["supplied_share"] for one in sizes]
    goal = [one["reaching"] / one["roofs"] for one in sizes]
    low, high = ([one[name] for one in sizes] for name in ("share_low", "share_high"))
    if None not in low:
        at.fill_between(across, low, high, color=PALE, linewidth=0)
    at.plot(across, share, color=BLUE, marker="o", markersize=3, linewidth=1.4)
    at.plot(across, goal, color=INK, marker="s", markersize=3, linewidth=1.0, linestyle="--")
    at.set_ylim(0.0, 1.02)
    at.set_xlim(0.0, across[-1] * 1.02)
    per_cent(at.yaxis)
    plain_numbers(at.xaxis)
    at.set_xlabel(WORDS.say("curve.axis", unit=unit.unit), loc="right")
    named = [
        (share[-1], WORDS.say("curve.supplied"), BLUE),
        (goal[-1], WORDS.say("curve.goal"), INK),
        *([] if low[-1] is None else [(low[-1], WORDS.say("curve.range"), BLUE)]),
    ]
    for y, (words_there, ink) in zip(
        apart([one for one, _, _ in named]), [(says, ink) for _, says, ink in named], strict=True
    ):
        at.annotate(
            words_there,
            (1.0, y),
            xytext=(6, 0),
            xycoords="axes fraction",
            textcoords="offset points",
            va="center",
            fontsize=SMALL,
            color=ink,
            annotation_clip=False,
        )


def apart(heights: Sequence[float], *, least: float = 0.07) -> list[float]:
    """Heights of words beside the ends of lines, moved up and down until none lies on another."""
    order = sorted(range(len(heights)), key=lambda at: heights[at])
    found = list(heights)
    for before, at in pairwise(order):
        found[at] = max(found[at], found[before] + least)
    over = max(0.0, found[order[-1]] - 1.0)
    return [one - over for one in found] if over else found
