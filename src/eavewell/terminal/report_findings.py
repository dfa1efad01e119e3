"""The part of the report on what the checks found, the gravest first."""

from itertools import groupby
from typing import Any

from rich.console import RenderableType
from rich.text import Text

from eavewell.terminal.page import heading, marked, paragraph
from eavewell.terminal.sizes import Sizes, days_in_words

Plain = dict[str, Any]
MEANS = {
    "stop": "do not build until this is answered",
    "fix": "change the design",
    "watch": "keep an eye on it",
    "note": "to know",
}


def findings_section(answer: Plain, sizes: Sizes) -> list[RenderableType]:
    """Findings by level: what was measured against which limit, whose limit, and the way out."""
    if not answer["findings"]:
        return [heading("Findings"), paragraph("None among the checks made.")]
    page: list[RenderableType] = [heading("Findings")]
    for at, (level, found) in enumerate(groupby(answer["findings"], lambda one: one["level"])):
        page += [Text("")] if at else []
        page.append(paragraph(f"{level.upper()}: {MEANS[level]}", style="bold"))
        page += [marked("-", _says(one, sizes)) for one in found]
    return page


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
