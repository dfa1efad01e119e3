"""The part of the report on bases, wind and burial."""

from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.report.blocks import GAP, Block, heading, ruled
from eavewell.report.cautions import cautioned
from eavewell.units import show

Plain = dict[str, Any]


def structure_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """Each tank full on its soil, empty in the wind, empty in groundwater."""
    tanks = [one for one in answer["structure"]["tanks"] if _says_something(one)]
    if not tanks:
        return []
    head = ("one of", "full", "on the soil", "soil bears", "tips empty in", "uplift", "held by")
    rows = [_row(one, sizes) for one in tanks]
    return [
        heading("Base, wind and burial"),
        ruled(head, rows),
        GAP,
        cautioned(answer, "structure"),
    ]


def _says_something(one: Plain) -> bool:
    return any(one[key] is not None for key in ("full_kg", "tips_in_wind_m_s", "uplift_kg"))


def _row(one: Plain, sizes: Sizes) -> tuple[str, ...]:
    tips = "tied down" if one["anchored"] else _show(one["tips_in_wind_m_s"], "wind", sizes=sizes)
    return (
        one["name"],
        _show(one["full_kg"], "weight", sizes=sizes),
        _show(one["pressure_kpa"], "ground_pressure", sizes=sizes),
        _show(one["allowed_kpa"], "ground_pressure", sizes=sizes),
        tips,
        _show(one["uplift_kg"], "weight", sizes=sizes),
        _show(one["held_kg"], "weight", sizes=sizes),
    )


def _show(value: float | None, quantity: str, *, sizes: Sizes) -> str:
    return "-" if value is None else show(value, quantity, system=sizes.system)
