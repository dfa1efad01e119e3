"""The level of all tanks through one year, with the rain of each day hanging above it."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Any

from eavewell.papers.charts.plate import (
    BLUE,
    INK,
    LEFT_MM,
    PALE,
    RUST,
    SMALL,
    WIDE_MM,
    axes,
    plate,
)
from eavewell.papers.charts.scale import MONTHS, plain_numbers, volumes
from eavewell.site.place import Show
from eavewell.tables.texts import words
from eavewell.units import convert, show

WORDS = words("year_paper")
Plain = Mapping[str, Any]
HIGH_MM = 74.0
# the room of the level below that of the rain
LOW_MM, BETWEEN_MM, HIGHEST_MM = 13.0, 44.0, 65.0
# a line joins midnights that are no further apart
JOINED_DAYS = 8
HEADROOM = 1.16


def chart_year(answer: Plain, *, system: Show) -> str | None:
    """None where no day's level or rain is known or shown."""
    days = answer["days_of_level"]
    if not days:
        return None

    def draw(figure: Any) -> None:
        _level(figure, answer, system=system)
        _rain(figure, answer, system=system)

    return plate(
        draw,
        title=WORDS.say("strip.title"),
        says=_says(answer, system),
        high_mm=HIGH_MM,
        foot=WORDS.say("strip.foot"),
    )


def _row(answer: Plain, iso: str) -> int:
    return (date.fromisoformat(iso) - date(answer["year"], 1, 1)).days


def _level(figure: Any, answer: Plain, *, system: Show) -> None:
    at = axes(figure, left=LEFT_MM, low=LOW_MM, right=WIDE_MM - 5.0, high=BETWEEN_MM)
    known = [one for one in answer["days_of_level"] if one["held_l"] is not None]
    most_l = max((one["held_l"] for one in known), default=0.0)
    full_l = answer["usable_l"] or most_l or 1.0
    unit = volumes(full_l, system=system)
    for piece in _pieces([(_row(answer, one["day"]), one["held_l"]) for one in known]):
        x, held = [day for day, _ in piece], [unit.of(litres) for _, litres in piece]
        at.fill_between(x, held, color=PALE, linewidth=0.0)
        at.plot(x, held, color=BLUE, linewidth=1.0, marker="." if len(x) == 1 else "")
    at.axhline(unit.of(full_l), color=INK, linewidth=0.6, linestyle=(0, (5, 2)))
    at.annotate(
        WORDS.say("strip.full", usable=show(full_l, "volume", system=system)),
        (1.0, unit.of(full_l)),
        (-2, 2),
        xycoords=("axes fraction", "data"),
        textcoords="offset points",
        ha="right",
        fontsize=SMALL,
    )
    _loads(at, answer)
    at.set_ylim(0.0, unit.of(max(full_l, most_l)) * HEADROOM)
    at.set_ylabel(unit.unit, rotation=0, ha="right", va="bottom")
    at.yaxis.set_label_coords(-0.012, 1.0)
    plain_numbers(at.yaxis)
    _months(at, answer, named=True)


def _pieces(days: Sequence[tuple[int, float]]) -> list[list[tuple[int, float]]]:
    """The line, broken where no reading was near."""
    pieces: list[list[tuple[int, float]]] = []
    for one in days:
        if pieces and one[0] - pieces[-1][-1][0] <= JOINED_DAYS:
            pieces[-1].append(one)
        else:
            pieces.append([one])
    return pieces


def _loads(at: Any, answer: Plain) -> None:
    """A stroke at the foot for each load that came."""
    for one in answer["loads"]:
        at.axvline(_row(answer, one["day"]), 0.0, 0.12, color=RUST, linewidth=1.2)


def _rain(figure: Any, answer: Plain, *, system: Show) -> None:
    """Bars that hang from the top."""
    fell = [
        (_row(answer, one["day"]), one["rain_mm"])
        for one in answer["days_of_level"]
        if one["rain_mm"]
    ]
    if not fell:
        return
    at = axes(figure, left=LEFT_MM, low=BETWEEN_MM + 5.0, right=WIDE_MM - 5.0, high=HIGHEST_MM)
    unit = "in" if system == "us" else "mm"
    depths = [convert(depth_mm, "depth", unit=unit) for _, depth_mm in fell]
    at.bar([day for day, _ in fell], depths, width=1.0, color=BLUE, linewidth=0.0)
    at.set_ylim(max(depths) * 1.05, 0.0)
    at.annotate(
        WORDS.say("strip.rain", unit=unit),
        (1.0, 0.0),
        (-2, 2),
        xycoords="axes fraction",
        textcoords="offset points",
        ha="right",
        fontsize=SMALL,
    )
    plain_numbers(at.yaxis)
    at.spines["bottom"].set_visible(False)
    _months(at, answer, named=False)


def _months(at: Any, answer: Plain, *, named: bool) -> None:
    year = answer["year"]
    first = date(year, 1, 1)
    starts = [(date(year, month, 1) - first).days for month in range(1, 13)]
    at.set_xlim(0, (date(year + 1, 1, 1) - first) // timedelta(days=1))
    at.set_xticks(starts, MONTHS if named else [""] * 12, ha="left")
    if not named:
        at.tick_params(axis="x", length=0)


def _says(answer: Plain, system: Show) -> str:
    held = [one["held_l"] for one in answer["days_of_level"] if one["held_l"] is not None]
    told = WORDS.say("strip.told_none")
    if held:
        told = WORDS.say(
            "strip.told",
            highest=show(max(held), "volume", system=system),
            lowest=show(min(held), "volume", system=system),
        )
    return WORDS.say("strip.says", year=answer["year"], told=told)
