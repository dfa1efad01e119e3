"""The part of the report on gutters and downspouts."""

from typing import Any

from rich.console import RenderableType
from rich.text import Text

from eavewell.terminal.page import heading, paragraph, ruled
from eavewell.terminal.sizes import Sizes, listed
from eavewell.units import show

Plain = dict[str, Any]
QUANTITIES = ("flow", "intensity")
PARTS = ("gutter", "outlet", "downspout", "transition")


def eaves_section(answer: Plain, sizes: Sizes) -> list[RenderableType]:
    """What each gutter run must carry and carries, and from which rain on it spills where."""
    eaves = answer["hydraulics"]["eaves"]
    if not eaves["runs"]:
        return []
    flow, rain = (show(1.0, name, system=sizes.system).split(" ")[1] for name in QUANTITIES)
    flows = [f"{name}\n{flow}" for name in ("asked", *_shown(eaves))]
    head = ("gutter", *flows, f"spills from\n{rain}", "on")
    rows = [_row(run, _shown(eaves), sizes=sizes) for run in eaves["runs"]]
    return [
        heading("Eaves"),
        ruled(head, rows, names=(0, len(head) - 1)),
        Text(""),
        paragraph(_storm(eaves, sizes), _others(eaves)),
    ]


def _shown(eaves: Plain) -> list[str]:
    """Parts that any run has."""
    return [part for part in PARTS if any(run[f"{part}_l_s"] is not None for run in eaves["runs"])]


def _row(run: Plain, parts: list[str], *, sizes: Sizes) -> tuple[str, ...]:
    flows = [run["flow_l_s"], *(run[f"{part}_l_s"] for part in parts)]
    cells = [_bare(flow, "flow", sizes=sizes) for flow in flows]
    spills = _bare(run["spills_from_mm_h"], "intensity", sizes=sizes)
    return f"{run['roof']}, {run['name']}", *cells, spills, run["spills_on"]


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


def _bare(value: float | None, quantity: str, *, sizes: Sizes) -> str:
    """A number without its unit, which stands in the head; a dash where unknown."""
    return "-" if value is None else show(value, quantity, system=sizes.system).split(" ")[0]
