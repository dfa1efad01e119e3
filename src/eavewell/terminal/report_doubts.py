"""The part of the report on what the record cannot tell, and on the first year."""

from typing import Any

from rich.console import RenderableType

from eavewell.terminal.page import heading, paragraph
from eavewell.terminal.sizes import MONTHS, Sizes, count

Plain = dict[str, Any]


def doubts_section(answer: Plain, sizes: Sizes) -> list[RenderableType]:
    """Range, stress, named drought and the first year, in sentences."""
    doubts = answer["doubts"]
    return [
        heading("How sure this is"),
        paragraph(_range(answer, sizes), _chances(doubts, sizes)),
        paragraph(_finish(doubts, sizes), _stress(doubts["stress"], sizes)),
        paragraph(_drought(doubts["drought"], sizes)),
        paragraph(_first_year(answer["first_year"])),
    ]


def _range(answer: Plain, sizes: Sizes) -> str:
    doubts, shares = answer["doubts"], answer["storage"]["range_90"]["supplied_share"]
    if not shares:
        return "The record is too short to draw years from it: no range is given."
    low, high = (sizes.share(share) for share in shares)
    return (
        f"In nine of ten of {doubts['traces']} traces of {doubts['trace_years']} years, drawn from "
        f"the record in blocks of {doubts['block_years']} years from "
        f"{MONTHS[doubts['first_month'] - 1]}, the supplied share lies from {low} to {high}; the "
        "observed worst spell stands above."
    )


def _chances(doubts: Plain, sizes: Sizes) -> str:
    none = f"none in {doubts['traces']} traces"
    chances = [
        f"{one['name']} {sizes.share(one['chance']) if one['chance'] else none}"
        for one in doubts["short_in_10_years"]
    ]
    if not chances:
        return ""
    return f"Chance of at least one short day within ten years: {', '.join(chances)}."


def _finish(doubts: Plain, sizes: Sizes) -> str:
    low, high = (sizes.share(share) for share in doubts["finish_supplied_share"])
    return f"At the edges of the finishes' published range it supplies {low} to {high}."


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


def _first_year(first: Plain) -> str:
    if first["starts"] == 0:
        return "The record is too short to try a first year from empty."
    start = f"{first['day']} {MONTHS[first['month'] - 1]}"
    middle, dry = (
        "not within two years" if days is None else f"after {count(days, 'day')}"
        for days in (first["middle_days_to_full"], first["dry_tenth_days_to_full"])
    )
    short = ", ".join(
        f"{one['name']} {one['middle']:,} (worst tenth {one['worst_tenth']:,})"
        for one in first["short_days"]
    )
    return (
        f"First year from empty, begun on {start} of each of {first['starts']} years: first full "
        f"{middle} in the middle year, {dry} in the driest tenth. "
        f"Short days in that year: {short}. "
        "A bought first load may be needed for the leak test and for moving in."
    )
