"""The part of the report on the uses: what they want and how they were served."""

from typing import Any

from eavewell.answers.shown import Sizes, short_run, spell
from eavewell.report.blocks import GAP, Block, heading, ruled
from eavewell.report.cautions import cautioned

Plain = dict[str, Any]


def uses_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """Wants first, then the days; a share never stands without the longest run of short days."""
    served = [
        next(use for use in answer["storage"]["uses"] if use["name"] == want["name"])
        for want in answer["demand"]
    ]
    wants = [
        (
            want["name"],
            want["class"],
            sizes.daily(want["mean_l_per_day"]),
            sizes.daily(want["peak_month_l_per_day"]),
            sizes.daily(want["peak_week_l_per_day"]),
        )
        for want in answer["demand"]
    ]
    return [
        heading("Uses, in the order they are served"),
        ruled(("use", "class", "mean", "peak month", "peak week"), wants, names=(0, 1)),
        GAP,
        ruled(
            ("use", "supplied", "days wanted", "full", "rationed", "short"),
            [_days(use, sizes) for use in served],
            notes=[_longest(use, sizes) for use in served],
        ),
        GAP,
        cautioned(answer, "uses"),
    ]


def _days(use: Plain, sizes: Sizes) -> tuple[str, ...]:
    days = ("wanted_days", "full_wanted_days", "rationed_days", "short_days")
    return use["name"], sizes.share(use["supplied_share"]), *(f"{use[key]:,}" for key in days)


def _longest(use: Plain, sizes: Sizes) -> str:
    mains = use["make_up_l_per_year"]
    made_up = f"; the mains made up {sizes.volume(mains)} a year" if mains else ""
    if use["longest_short_from"] is None:
        return f"never short on this record{made_up}"
    first, last = use["longest_short_from"], use["longest_short_to"]
    run = short_run(use["longest_short_days"], first, last=last)
    return f"longest run: {run}, {spell(first, last)}{made_up}"
