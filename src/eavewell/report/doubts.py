"""The part of the report on what the record cannot tell, and on the first year."""

from collections.abc import Sequence
from typing import Any

from eavewell.answers.shown import MONTHS, Sizes, count
from eavewell.report.blocks import GAP, Block, heading, paragraph, ruled

Plain = dict[str, Any]
HEAD = (
    "use",
    "supplied,\n9 in 10 traces",
    "longest short run,\n9 in 10 traces",
    "a short day\nwithin 10 years",
)


def doubts_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """Range, stress, named drought and the first year."""
    doubts = answer["doubts"]
    if doubts is None:
        return [heading("How sure this is"), paragraph("The range is being worked out.")]
    return [
        heading("How sure this is"),
        paragraph(_range(answer, sizes)),
        *_by_use(answer, sizes),
        paragraph(_finish(doubts, sizes)),
        paragraph(_stress(doubts["stress"], sizes)),
        paragraph(_drought(doubts["drought"], sizes)),
        GAP,
        paragraph(_first_year(answer)),
        *_first_short(answer["first_year"]),
    ]


def _range(answer: Plain, sizes: Sizes) -> str:
    doubts, shares = answer["doubts"], answer["storage"]["range_90"]["supplied_share"]
    if not shares:
        return "The record is too short to draw years from it: no range is given."
    blocks = count(doubts["block_years"], "year")
    return (
        f"{doubts['traces']} traces of {doubts['trace_years']} years were drawn from the record in "
        f"blocks of {blocks} that begin in {MONTHS[doubts['first_month'] - 1]}. In nine of ten "
        f"{_lies(shares, sizes)}; the worst spell on record stands above."
    )


def _by_use(answer: Plain, sizes: Sizes) -> list[Block]:
    """Range and chance of each use; nothing where no traces were drawn."""
    ranges = {use["name"]: use["range_90"] for use in answer["storage"]["uses"]}
    rows = [
        (
            one["name"],
            _to(ranges[one["name"]]["supplied_share"], sizes),
            _runs(ranges[one["name"]]["longest_short_days"]),
            _chance(one["chance"], sizes),
        )
        for one in answer["doubts"]["short_in_10_years"]
    ]
    return [GAP, ruled(HEAD, rows), GAP] if rows else []


def _runs(pair: Sequence[float]) -> str:
    low, high = pair
    return f"{low:,.0f} to {count(high, 'day')}" if high else "none"


def _chance(chance: float, sizes: Sizes) -> str:
    """A chance as drawn: neither never nor always is claimed."""
    return {0.0: "in no trace", 1.0: "in every trace"}.get(chance) or sizes.share(chance)


def _to(pair: Sequence[float], sizes: Sizes) -> str:
    """From low to high; the whole is called all, since 100 % would claim too much."""
    low, high = ("all" if share == 1.0 else sizes.share(share) for share in pair)
    if low == high:
        return high
    return f"{low.removesuffix(' %') if high.endswith('%') else low} to {high}"


def _lies(pair: Sequence[float], sizes: Sizes) -> str:
    reach = _to(pair, sizes)
    if reach == "all":
        return "all of the water wanted is supplied"
    return f"the supplied share {'lies from' if ' to ' in reach else 'is'} {reach}"


def _finish(doubts: Plain, sizes: Sizes) -> str:
    edges = _to(doubts["finish_supplied_share"], sizes)
    return (
        "With the finishes at the edges of their published range the system supplies "
        f"{edges} of the water wanted."
    )


def _stress(stress: Plain, sizes: Sizes) -> str:
    rain, wet, use = (stress[key] for key in ("rain_factor", "wet_day_factor", "use_factor"))
    loads = count(stress["loads_in_worst_year"], "load")
    hauled = f" and {loads} in the worst year" if stress["loads_in_worst_year"] else ""
    return (
        f"Under stress ({sizes.share(rain)} of the depth on {sizes.share(wet)} of the wet days, "
        f"{use:.2f} times the use): {sizes.share(stress['supplied_share'])} supplied, longest run "
        f"of short days {count(stress['longest_short_days'], 'day')}{hauled}."
    )


def _drought(drought: Plain, sizes: Sizes) -> str:
    if drought["months"] == 0 or drought["supplied_share"] is None:
        return ""
    return (
        f"Through the {drought['months']} months of the drought you name: "
        f"{sizes.share(drought['supplied_share'])} supplied, longest run of short days "
        f"{count(drought['longest_short_days'], 'day')}."
    )


def _first_year(answer: Plain) -> str:
    first = answer["first_year"]
    if first["starts"] == 0:
        return "The record is too short to try a first year from empty."
    start = f"{first['day']} {MONTHS[first['month'] - 1]}"
    middle, dry = first["middle_days_to_full"], first["dry_tenth_days_to_full"]
    full = f"{_filled(middle)} in the middle year, {_filled(dry)} in the driest tenth"
    if middle is None and dry is None:
        full = "not within two years, neither in the middle year nor in the driest tenth"
    return (
        f"First year from empty, begun on {start} of each of {first['starts']} years: first full "
        f"{full}.{_moving_in(answer)}"
    )


def _moving_in(answer: Plain) -> str:
    if not {"drinking", "indoor"} & {use["class"] for use in answer["demand"]}:
        return ""
    return " A bought first load may be needed for the leak test and for moving in."


def _filled(days: int | None) -> str:
    return "not within two years" if days is None else f"after {count(days, 'day')}"


def _first_short(first: Plain) -> list[Block]:
    rows = [
        (one["name"], f"{one['middle']:,}", f"{one['worst_tenth']:,}")
        for one in first["short_days"]
    ]
    head = ("short in the first year", "middle year", "worst tenth")
    return [GAP, ruled(head, rows)] if rows else []
