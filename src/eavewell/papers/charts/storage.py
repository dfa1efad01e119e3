"""Storage against supplied share, with the sizes that matter and their ranges."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from eavewell.papers.charts.plate import (
    BLUE,
    GREY,
    INK,
    LEFT_MM,
    SMALL,
    WIDE_MM,
    axes,
    cut_to,
    plate,
    rests_on,
)
from eavewell.papers.charts.scale import Volumes, per_cent, plain_numbers, volumes
from eavewell.site.place import Show
from eavewell.tables.texts import words
from eavewell.units import show

WORDS = words("charts")
Plain = Mapping[str, Any]
TITLE = WORDS.say("storage.title")
NONE_REACHES = WORDS.say("storage.none_reaches")
HIGH_MM = 88.0
# how far the axis reaches beyond the largest size marked, and where the words stand along it
REACH, WORDS_AT = 2.6, 0.46


@dataclass(frozen=True, slots=True)
class Mark:
    """One size on the curve with its words; low, high : its range, None where there is none."""

    size_l: float
    share: float
    low: float | None
    high: float | None
    says: str
    strong: bool = False


def chart_storage(answer: Plain, *, system: Show) -> str | None:
    """Supplied share and days met over the size of the store that is sought.

    None where no size was tried.
    """
    curve = answer["sizing"]["curve"]
    if len(curve) < 2 or curve[-1]["capacity_l"] <= 0.0:
        return None
    marks = _marks(answer, system)
    reach_l = min(curve[-1]["capacity_l"], REACH * max(one.size_l for one in marks))
    unit = volumes(reach_l, system=system)

    def draw(figure: Any) -> None:
        at = axes(figure, left=LEFT_MM, low=15.0, right=WIDE_MM - 27.0, high=HIGH_MM - 11.0)
        _curves(at, curve, reach_l=reach_l, unit=unit)
        for row, mark in enumerate(sorted(marks, key=lambda one: one.size_l)):
            _marked(at, mark, row=row, unit=unit)
        if answer["sizing"]["smallest_l"] is None:
            at.annotate(NONE_REACHES, (WORDS_AT, 0.5), xycoords="axes fraction", fontsize=SMALL)

    store = cut_to(answer["sizing"]["store"], SMALL, most_mm=50.0)
    foot = WORDS.say("storage.drawn.usable_volume_all_else", store=store, rests_on=rests_on(answer))
    says = WORDS.say(
        "storage.drawn.supplied_share_against_usable", says="; ".join(m.says for m in marks)
    )
    return plate(draw, title=TITLE, says=says, high_mm=HIGH_MM, foot=foot)


def _marks(answer: Plain, system: Show) -> list[Mark]:
    """As drawn, the smallest that reaches the goal, and that one with less rain."""
    size, store, doubts = answer["sizing"], answer["storage"], answer["doubts"]
    drawn = next(one for one in store["stores"] if one["name"] == size["store"])
    low, high = store["range_90"]["supplied_share"] or (None, None)
    share = store["supplied_share"]
    told = _told(drawn["usable_l"], share, system=system)
    says = WORDS.say("storage.marks.as_drawn", told=told, range=_range(low, high, system=system))
    found = [Mark(drawn["usable_l"], share, low, high, says, strong=True)]
    if size["smallest_l"] is not None:
        low, high = doubts["smallest_supplied_share"] or (None, None)
        share = _share_at(size["curve"], size["smallest_l"])
        says = WORDS.say(
            "storage.marks.smallest_that_reaches_goal",
            told=_told(size["smallest_l"], share, system=system),
        )
        found.append(
            Mark(size["smallest_l"], share, low, high, says + _range(low, high, system=system))
        )
    if size["smallest_at_less_rain_l"] is not None:
        litres = size["smallest_at_less_rain_l"]
        less = show(size["less_rain_factor"], "share", system=system)
        says = WORDS.say(
            "storage.marks.smallest_at_rain",
            less=less,
            litres=show(litres, "volume", system=system),
        )
        found.append(Mark(litres, _share_at(size["curve"], litres), None, None, says))
    return found


def _told(litres: float, share: float, *, system: Show) -> str:
    volume = show(litres, "volume", system=system)
    return WORDS.say(
        "storage.told.supplies", volume=volume, share=show(share, "share", system=system)
    )


def _range(low: float | None, high: float | None, *, system: Show) -> str:
    if low is None or high is None:
        return ""
    ends = [show(one, "share", system=system) for one in (low, high)]
    return WORDS.say("storage.range.nine_times_ten", what=ends[0].removesuffix(" %"), ends=ends[1])


def _share_at(curve: list[Plain], litres: float) -> float:
    """Where a size stands on the line that is drawn."""
    below = [one for one in curve if one["capacity_l"] <= litres][-1:] or curve[:1]
    above = [one for one in curve if one["capacity_l"] >= litres][:1] or curve[-1:]
    one, other = below[0], above[0]
    wide = other["capacity_l"] - one["capacity_l"]
    along = (litres - one["capacity_l"]) / wide if wide > 0.0 else 0.0
    share: float = one["supplied_share"]
    return share + along * float(other["supplied_share"] - share)


def _curves(at: Any, curve: list[Plain], *, reach_l: float, unit: Volumes) -> None:
    seen = [one for one in curve if one["capacity_l"] <= reach_l * (1.0 + 1e-9)]
    sizes = [unit.of(one["capacity_l"]) for one in seen]
    ends = []
    for key, name, look in (
        (
            "supplied_share",
            WORDS.say("storage.curves.water_supplied"),
            {"color": BLUE, "linewidth": 1.6},
        ),
        (
            "days_met_share",
            WORDS.say("storage.curves.days_met_full"),
            {"color": GREY, "linestyle": "--"},
        ),
    ):
        shares = [one[key] for one in seen]
        at.plot(sizes, shares, **look)
        ends.append((shares[-1], name, look["color"]))
    at.set_xlim(0.0, unit.of(reach_l))
    at.set_ylim(0.0, 1.02)
    per_cent(at.yaxis)
    plain_numbers(at.xaxis)
    at.set_xlabel(unit.unit, loc="right", labelpad=0.0)
    for height, (_, name, colour) in zip(apart([one[0] for one in ends], 0.115), ends, strict=True):
        at.annotate(
            name,
            (1.0, height),
            (4, 0),
            xycoords=("axes fraction", "data"),
            textcoords="offset points",
            va="center",
            fontsize=SMALL,
            color=colour,
        )


def apart(
    heights: Sequence[float], least: float, *, lowest: float = 0.04, most: float = 0.96
) -> list[float]:
    """The same heights, moved to stand apart between two ends, in the order given."""
    order = sorted(range(len(heights)), key=lambda k: -heights[k])
    found, top = list(heights), most
    for k in order:
        found[k] = min(heights[k], top)
        top = found[k] - least
    floor = lowest
    for k in reversed(order):
        found[k] = max(found[k], floor)
        floor = found[k] + least
    return found


def _marked(at: Any, mark: Mark, *, row: int, unit: Volumes) -> None:
    """A drop line from the curve to the axis, the range as a bar, the words to the right."""
    where, height = unit.of(mark.size_l), 0.12 + 0.14 * row
    colour = INK if mark.strong else GREY
    at.plot([where, where], [0.0, mark.share], color=colour, linewidth=0.6, linestyle=(0, (4, 2)))
    at.plot(
        [where],
        [mark.share],
        "o",
        color=colour,
        markersize=3.6,
        fillstyle="full" if mark.strong else "none",
    )
    if mark.low is not None and mark.high is not None:
        at.errorbar(
            [where],
            [(mark.low + mark.high) / 2.0],
            [(mark.high - mark.low) / 2.0],
            color=colour,
            elinewidth=1.0,
            capsize=2.4,
            capthick=0.8,
            linestyle="none",
        )
    words_at = WORDS_AT * at.get_xlim()[1]
    at.plot([where, words_at], [height, height], color=colour, linewidth=0.5)
    at.plot([where], [height], "o", color=colour, markersize=1.8)
    at.annotate(
        mark.says.replace("; nine", ";\nnine"),
        (words_at, height),
        (3, 0),
        textcoords="offset points",
        va="center",
        fontsize=SMALL,
        fontweight=700 if mark.strong else 500,
        color=colour,
        linespacing=1.15,
    )
