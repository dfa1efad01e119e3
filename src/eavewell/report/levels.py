"""The part of the report on levels: the elevation schedule."""

from itertools import groupby
from typing import Any

from eavewell.answers.shown import Sizes, listed
from eavewell.report.blocks import GAP, Block, heading, paragraph, ruled
from eavewell.units import show

Plain = dict[str, Any]


def levels_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """Every known level above the datum, in the order of flow; the unknown ones by name."""
    levels = answer["hydraulics"]["levels"]
    known = [level for level in levels if level["level_m"] is not None]
    if not known:
        return []
    rows = [
        (*_named(level), show(level["level_m"], "level", system=sizes.system)) for level in known
    ]
    datum = answer["hydraulics"]["datum"] or "the site datum"
    missing = [level for level in levels if level["level_m"] is None]
    page: list[Block] = [
        heading(f"Levels above {datum}"),
        ruled(("", "", "level"), rows, names=(0, 1)),
    ]
    return [*page, GAP, paragraph(_unknown(missing))] if missing else page


def _named(level: Plain) -> tuple[str, str]:
    return level["thing"].replace("'", ""), level["point"]


def _unknown(missing: list[Plain]) -> str:
    things = [
        f"{thing} ({listed(level['point'] for level in points)})"
        for thing, points in groupby(missing, key=lambda level: level["thing"])
    ]
    return f"Unknown: {'; '.join(things)}. What needs them is not checked."
