"""The lines of the report on rain within the day."""

from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.report.blocks import Block, paragraph
from eavewell.units import show

Plain = dict[str, Any]


def within_day_lines(answer: Plain, sizes: Sizes) -> list[Block]:
    """Whose storms shape the days, and how sharp they are beside the site's."""
    within = answer["hydraulics"]["within_day"]
    if within["donor"] is None or not answer["hydraulics"]["lifts"]:
        return []
    said = f"Within the day: {within['says']}, in steps of {within['minutes']} minutes."
    pairs = [
        f"{one['minutes']} min {one['years']}-year {_rain(one['made_mm_h'], sizes)} against "
        f"{_rain(one['site_mm_h'], sizes)}"
        for one in within["maxima"]
        if one["years"] == 2
    ]
    beside = f"Its storms against the site's: {'; '.join(pairs)}." if pairs else ""
    verdict = "" if within["trusted"] else "Intensity unknown: see the findings."
    return [paragraph(said, beside, verdict)]


def _rain(mm_h: float, sizes: Sizes) -> str:
    return show(mm_h, "intensity", system=sizes.system)
