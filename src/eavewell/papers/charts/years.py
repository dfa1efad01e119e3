"""Every year of the record: supplied, short, and what ran over."""

from collections.abc import Mapping
from typing import Any

from eavewell.papers.charts.bars import BY_MAINS, SHORT, SPILLED, SUPPLIED, key, stacked
from eavewell.papers.charts.plate import GREY, INK, LEFT_MM, SMALL, WIDE_MM, axes, plate, rests_on
from eavewell.papers.charts.scale import plain_numbers, volumes
from eavewell.site.place import Show
from eavewell.tables.texts import words
from eavewell.units import show

WORDS = words("charts")
Plain = Mapping[str, Any]
TITLE = WORDS.say("years.title")
HIGH_MM = 88.0
FULL_YEAR = 365
# years from which numbers above the bars are small, and turned where they are long
CROWDED = 40


def chart_years(answer: Plain, *, system: Show) -> str | None:
    """Bars upward of what was wanted by how it was met, downward of what ran over.

    Loads stand above their year. None where there is no year, or no water in any.
    """
    years = answer["years"]
    largest_l = max((max(one["wanted_l"], one["spilled_l"]) for one in years), default=0.0)
    if largest_l <= 0.0:
        return None
    unit = volumes(largest_l, system=system)

    def column(name: str, sign: float = 1.0) -> list[float]:
        return [sign * unit.of(one[name]) for one in years]

    rows = ((SUPPLIED, "supplied_l"), (BY_MAINS, "make_up_l"), (SHORT, "short_l"))
    pieces = [(piece, column(name)) for piece, name in rows if any(one[name] for one in years)]

    def draw(figure: Any) -> None:
        at = axes(figure, left=LEFT_MM, low=13.0, right=WIDE_MM - 26.0, high=HIGH_MM - 13.0)
        places = [one["year"] for one in years]
        stacked(at, places, pieces=pieces, wide=0.72)
        stacked(at, places, pieces=[(SPILLED, column("spilled_l", -1.0))], wide=0.72)
        at.axhline(0.0, color=INK, linewidth=0.7)
        at.spines["bottom"].set_visible(False)
        at.set_xlim(places[0] - 0.8, places[-1] + 0.8)
        _numbers(at)
        at.set_ylabel(unit.unit, rotation=0, ha="right", va="bottom")
        at.yaxis.set_label_coords(-0.012, 1.0)
        _loads(at, years)
        beside = axes(figure, left=WIDE_MM - 24.0, low=13.0, right=WIDE_MM, high=HIGH_MM - 16.0)
        key(beside, ([piece for piece, _ in reversed(pieces)], [SPILLED]))

    parts = [str(one["year"]) for one in years if one["days"] < FULL_YEAR]
    part = WORDS.say("years.drawn.not_whole", parts=", ".join(parts)) if parts else ""
    foot = WORDS.say("years.drawn.wanted_after_ration_stages", part=part, rests_on=rests_on(answer))
    return plate(draw, title=TITLE, says=_says(years, system), high_mm=HIGH_MM, foot=foot)


def _numbers(at: Any) -> None:
    """Years as whole numbers; what runs over counts downward without a sign."""
    from matplotlib.ticker import FuncFormatter, MaxNLocator

    at.xaxis.set_major_locator(
        MaxNLocator(nbins=12, integer=True, steps=[1, 2, 5, 10], min_n_ticks=1)
    )
    at.xaxis.set_major_formatter(FuncFormatter(lambda year, _: f"{year:.0f}"))
    at.tick_params(axis="x", length=0)
    plain_numbers(at.yaxis)
    at.yaxis.set_major_formatter(FuncFormatter(lambda number, _: f"{abs(number):,.10g}"))


def _loads(at: Any, years: list[Plain]) -> None:
    """Hauled loads of each year in a row above the bars."""
    if not any(one["loads"] for one in years):
        return
    crowded = len(years) > CROWDED
    turned = crowded and max(one["loads"] for one in years) > 9
    for one in years:
        if one["loads"]:
            at.annotate(
                str(one["loads"]),
                (one["year"], 1.0),
                (0, 2),
                xycoords=("data", "axes fraction"),
                textcoords="offset points",
                ha="center",
                fontsize=5.5 if crowded else SMALL,
                rotation=90 if turned else 0,
            )
    at.annotate(
        WORDS.say("years.loads.loads_hauled"),
        (1.0, 1.0),
        (6, 2),
        xycoords="axes fraction",
        textcoords="offset points",
        fontsize=SMALL,
        color=GREY,
    )


def _says(years: list[Plain], system: Show) -> str:
    def most(name: str) -> str:
        worst = max(years, key=lambda one: one[name])
        return WORDS.say(
            "years.most.in", worst=show(worst[name], "volume", system=system), year=worst["year"]
        )

    told = WORDS.say(
        "years.says.every_year_from", year=years[0]["year"], last_year=years[-1]["year"]
    )
    if any(one["short_l"] for one in years):
        told += WORDS.say("years.says.shortest_water", what=most("short_l"))
    return WORDS.say("years.says.most_ran_over", told=told, what=most("spilled_l"))
