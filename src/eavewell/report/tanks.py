"""The part of the report on what is fitted to each tank."""

from typing import Any

from eavewell.answers.shown import Sizes, listed
from eavewell.report.blocks import GAP, Block, heading, paragraph, ruled
from eavewell.units import show

Plain = dict[str, Any]


def tanks_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """Inflow against overflow, air against vent, and the volumes of each tank."""
    tanks = [one for one in answer["hydraulics"]["tanks"] if one["described"]]
    if not tanks:
        return []
    head = ("tank", "peak inflow", "overflow carries", "link passes")
    rows = [
        (
            one["name"],
            *(_flow(one[key], sizes) for key in ("peak_l_s", "overflow_l_s", "link_l_s")),
        )
        for one in tanks
    ]
    notes = [_note(one, sizes) for one in tanks]
    says = (
        "Peak inflow: roofs in the storm that an overflow must carry, lifts, make-up, stores "
        "above and a truck; screened openings half clogged."
    )
    return [
        heading("Tank fittings"),
        ruled(head, rows, notes=notes),
        GAP,
        paragraph(says, style="italic"),
    ]


def _note(one: Plain, sizes: Sizes) -> str:
    nominal, dead, usable = (sizes.volume(one[key]) for key in ("nominal_l", "dead_l", "usable_l"))
    parts = [f"{nominal} nominal, {dead} dead, {usable} usable"]
    if one["overflow_to"]:
        parts.append(f"overflow to {one['overflow_to']}")
    if one["vent_l_s"] is not None and one["air_l_s"] is not None:
        passes, must = (_flow(one[key], sizes) for key in ("vent_l_s", "air_l_s"))
        parts.append(f"vent passes {passes} of air, {must} asked")
    if one["drain_h"] is not None:
        hours = show(one["drain_h"], "hours", system=sizes.system)
        parts.append(f"{'each ' if one['count'] > 1 else ''}drains in {hours}")
    if any(one["shims_m"]):
        raised = [show(shim, "length", system=sizes.system) for shim in one["shims_m"]]
        parts.append(f"raise its tanks by {listed(raised)}")
    return "; ".join(parts)


def _flow(flow_l_s: float | None, sizes: Sizes) -> str:
    return "-" if flow_l_s is None else show(flow_l_s, "flow", system=sizes.system)
