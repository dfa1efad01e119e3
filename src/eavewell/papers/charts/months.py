"""What comes and what is wanted in a mean January, February and so on."""

from collections.abc import Mapping
from typing import Any

from eavewell.papers.charts.bars import (
    BY_MAINS,
    COMES,
    RATIONED,
    SHORT,
    SUPPLIED,
    Piece,
    key,
    stacked,
)
from eavewell.papers.charts.plate import LEFT_MM, WIDE_MM, axes, plate, rests_on
from eavewell.papers.charts.scale import MONTHS, plain_numbers, volumes
from eavewell.site.place import Show
from eavewell.tables.texts import words
from eavewell.units import show

WORDS = words("charts")
Plain = Mapping[str, Any]
TITLE = WORDS.say("months.title")
HIGH_MM = 78.0
# less than this of the largest month is no piece of a bar
LEAST_SHARE = 0.002


def chart_months(answer: Plain, *, system: Show) -> str | None:
    """Two bars a month: what the roofs bring, and what is wanted by how it is met.

    None where nothing comes and nothing is wanted. A month that the record lacks stays empty.
    """
    months = answer["storage"]["months"]
    largest_l = max(
        (max(one["inflow_l"] or 0.0, one["wanted_l"] or 0.0) for one in months), default=0
    )
    if largest_l <= 0.0:
        return None
    unit = volumes(largest_l, system=system)
    pieces = [
        (piece, [unit.of(litres) for litres in column])
        for piece, column in _wanted(months)
        if max(column) > LEAST_SHARE * largest_l
    ]

    def draw(figure: Any) -> None:
        at = axes(figure, left=LEFT_MM, low=13.0, right=WIDE_MM - 32.0, high=HIGH_MM - 11.0)
        came = [unit.of(one["inflow_l"] or 0.0) for one in months]
        stacked(at, [k - 0.2 for k in range(12)], pieces=[(COMES, came)], wide=0.38)
        stacked(at, [k + 0.2 for k in range(12)], pieces=pieces, wide=0.38)
        at.set_xlim(-0.6, 11.6)
        at.set_xticks(range(12), MONTHS)
        at.tick_params(axis="x", length=0)
        at.set_ylabel(unit.unit, rotation=0, ha="right", va="bottom")
        at.yaxis.set_label_coords(-0.012, 1.0)
        plain_numbers(at.yaxis)
        beside = axes(figure, left=WIDE_MM - 30.0, low=13.0, right=WIDE_MM, high=HIGH_MM - 11.0)
        key(beside, ([COMES], [piece for piece, _ in reversed(pieces)]))

    foot = WORDS.say("months.drawn.means_all_years_mean", rests_on=rests_on(answer))
    says = _says(months, system)
    return plate(draw, title=TITLE, says=says, high_mm=HIGH_MM, foot=foot)


def _wanted(months: list[Plain]) -> list[tuple[Piece, list[float]]]:
    """The pieces of what is wanted, from the bottom."""
    columns = {
        name: [one[name] or 0.0 for one in months]
        for name in ("supplied_l", "make_up_l", "short_l", "wanted_l")
    }
    supplied, mains, short, wanted = columns.values()
    back = [
        max(0.0, want - one - two - three)
        for one, two, three, want in zip(supplied, mains, short, wanted, strict=True)
    ]
    return [(SUPPLIED, supplied), (BY_MAINS, mains), (SHORT, short), (RATIONED, back)]


def _says(months: list[Plain], system: Show) -> str:
    told = []
    for one in months:
        if one["wanted_l"] is not None:
            came, wanted, short = (
                show(one[name], "volume", system=system)
                for name in ("inflow_l", "wanted_l", "short_l")
            )
            told.append(
                WORDS.say(
                    "months.says.come_wanted_short",
                    months=MONTHS[one["month"] - 1],
                    came=came,
                    wanted=wanted,
                    short=short,
                )
            )
    return WORDS.say("months.says.mean_year_by_months", told="; ".join(told))
