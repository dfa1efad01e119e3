"""The part of the report on what the checks found, from sky to tap."""

from collections import Counter
from itertools import groupby
from typing import Any

from eavewell.answers.shown import Sizes, days_in_words
from eavewell.report.blocks import GAP, Block, heading, marked, paragraph

Plain = dict[str, Any]
MEANS = {
    "stop": "do not build until this is answered",
    "fix": "change the design",
    "watch": "keep an eye on it",
    "note": "to know",
}


def findings_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """Findings by reach: what was measured against which limit, whose limit, and the way out."""
    found = answer["findings"]
    if not found:
        return [heading("Findings"), paragraph("None among the checks made.")]
    page: list[Block] = [heading("Findings, from sky to tap"), paragraph(_counted(found))]
    for reach, here in groupby(found, lambda one: one["reach"]):
        page += [GAP, paragraph(reach.capitalize(), style="bold")]
        page += [marked(one["level"], _says(one, sizes), margin=5) for one in here]
    return page


def _counted(found: list[Plain]) -> str:
    """How many of each level, with what the level means."""
    counts = Counter(one["level"] for one in found)
    parts = (f"{counts[level]} {level} ({means})" for level, means in MEANS.items())
    return "; ".join(part for part in parts if not part.startswith("0 ")) + "."


def _says(one: Plain, sizes: Sizes) -> str:
    against = ""
    if one["measured"] is not None and one["limit"] is not None:
        measured, limit = (sizes.in_unit(one[key], one["unit"]) for key in ("measured", "limit"))
        against = f"measured {measured}, limit {limit}"
    basis = "; ".join(filter(None, (against, one["source"])))
    parts = (
        f"{one['where'][:1].upper()}{one['where'][1:]}: {days_in_words(one['says'])}",
        f"({basis})" if basis else "",
        f"Way out: {one['fix']}." if one["fix"] else "",
    )
    return " ".join(filter(None, parts))
