"""The part of the report on gutters and downspouts."""

from typing import Any

from eavewell.answers.shown import Sizes, listed
from eavewell.report.blocks import GAP, Block, heading, paragraph, ruled
from eavewell.report.cautions import cautioned
from eavewell.units import show

Plain = dict[str, Any]

SPILLS = {
    "clear ground": "it spills on clear ground",
    "door": "it spills over a door",
    "footing": "it spills at a footing",
    "unknown": "where it spills is unknown",
}


def eaves_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """What each gutter run must carry and carries, and from which rain on it spills where."""
    eaves = answer["hydraulics"]["eaves"]
    if not eaves["runs"]:
        return []
    head = ("gutter", "asked", "carries", "by its", "spills from")
    rows = [_row(run, sizes) for run in eaves["runs"]]
    return [
        heading("Eaves"),
        ruled(head, rows, names=(0, 3), notes=[_where(run) for run in eaves["runs"]]),
        GAP,
        paragraph(_storm(eaves, sizes), _others(eaves)),
        cautioned(answer, "eaves"),
    ]


def _row(run: Plain, sizes: Sizes) -> tuple[str, ...]:
    part = run["governing"]
    return (
        f"{run['roof']}, {run['name']}",
        _said(run["flow_l_s"], "flow", sizes=sizes),
        _said(run[f"{part}_l_s"] if part else None, "flow", sizes=sizes),
        part or "-",
        _said(run["spills_from_mm_h"], "intensity", sizes=sizes),
    )


def _where(run: Plain) -> str:
    """What it spills on, and how often where that is known."""
    years = run["spills_once_in_years"]
    often = "" if years is None else f", about once in {years:.2g} years"
    return f"{SPILLS[run['spills_on']]}{often}"


def _storm(eaves: Plain, sizes: Sizes) -> str:
    rules, says = eaves["method"], eaves["storm_says"]
    mm_h = (eaves[f"intensity_{key}mm_h"] for key in ("", "low_", "high_"))
    if eaves["intensity_mm_h"] is None:
        return f"By the rules of {rules}; the storm is unknown: {says}."
    rain, low, high = (show(one, "intensity", system=sizes.system) for one in mm_h)
    spread = "" if low == high else f", {low.split(' ')[0]} to {high}"
    return f"By the rules of {rules}: {rain}{spread} ({says})."


def _others(eaves: Plain) -> str:
    """How the runs stand by other rules, where those differ from these."""
    held = sum(run["holds"] is True for run in eaves["runs"])
    apart: dict[int, list[str]] = {}
    for other in eaves["other_rules"]:
        if other["hold"] != held and not other["unknown"]:
            apart.setdefault(other["hold"], []).append(other["method"])
    words = [f"{hold} by {listed(names)}" for hold, names in apart.items()]
    return f"Runs that hold: {held} of {len(eaves['runs'])}; {'; '.join(words)}." if words else ""


def _said(value: float | None, quantity: str, *, sizes: Sizes) -> str:
    return "-" if value is None else show(value, quantity, system=sizes.system)
