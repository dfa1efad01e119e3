"""What a screening of many roofs says of all of them, as blocks for a page."""

from collections.abc import Mapping, Sequence
from typing import Any

from eavewell.district.line_sums import LONGEST_RUN
from eavewell.papers.board import much
from eavewell.report.blocks import Block, paragraph, ruled
from eavewell.site.place import Show
from eavewell.units import show
from eavewell.weather.counted import counted

_OF_A_ROOF = ("supplied_l_year", "spilled_l_year", "make_up_l_year")
BY_DISTRICT = (
    "district",
    "roofs",
    "reach the goal",
    "supplied",
    "one in ten to nine in ten",
    "short run",
    "mains/yr",
)
# the size that is told first is the smallest at which so many roofs reach their goals
MOST_REACH = 0.5
HEAD = (
    *("tank", "reach goal", "supplied", "short run"),
    *("supplied/yr", "spilled/yr", "mains/yr"),
)
ABOUT_RUNS = "Short run: the longest run of short days that half of the roofs stay within."


def sizes_block(run: Mapping[str, Any]) -> list[Block]:
    """Every size over all roofs, volumes of a mean roof; nothing where the roofs are few."""
    system: Show = run["show"]
    roofs = run["screened"]
    rows = [
        (
            show(one["size_l"], "volume", system=system),
            f"{one['reaching']:,}",
            show(one["mean_supplied_share"], "share", system=system),
            run_in_words(one.get("half_run_days")),
            *(show(one[name] / roofs, "volume", system=system) for name in _OF_A_ROOF),
        )
        for one in run["sizes"]
    ]
    return [ruled(HEAD, rows)] if rows else []


def run_in_words(days: int | None) -> str:
    """A longest run of short days; a dash where too few roofs would tell it."""
    if days is None:
        return "-"
    return "over a year" if days > LONGEST_RUN else counted(days, "day")


def told_first(run: Mapping[str, Any]) -> int:
    """Number of the size that is told first, from 0; the largest where too few roofs reach."""
    sizes_l = run["sizes_l"]
    enough = [
        one["size_l"] for one in run["sizes"] if one["reaching"] >= MOST_REACH * run["screened"]
    ]
    first: int = sizes_l.index(min(enough, default=max(sizes_l)))
    return first


def _range(one: Mapping[str, Any]) -> str:
    ends = one["share_low"], one["share_high"]
    return "-" if None in ends else " to ".join(show(end, "share") for end in ends)


def districts_block(
    groups: Sequence[Mapping[str, Any]], *, system: Show, says: Sequence[str] = ()
) -> list[Block]:
    """The districts at one size; a dash for those that stand with the rest.

    says : what became of those of few roofs. Nothing where there is but one and none is few.
    """
    rows = [
        (
            one["district"],
            f"{one['roofs']:,}",
            f"{one['reaching']:,}",
            show(one["supplied_share"], "share", system=system),
            _range(one),
            run_in_words(one["half_run_days"]),
            much(one["make_up_l_year"], system),
        )
        if one["roofs"] is not None
        else (one["district"], *["-"] * (len(BY_DISTRICT) - 1))
        for one in groups
    ]
    found: list[Block] = [ruled(BY_DISTRICT, rows)] if len(rows) > 1 else []
    return [*found, paragraph(*says)] if says else found
