"""The part of the report on gutters and downspouts."""

from typing import Any

from rich.console import RenderableType

from eavewell.terminal.page import heading, paragraph, ruled
from eavewell.terminal.sizes import Sizes
from eavewell.units import show

Plain = dict[str, Any]
PARTS = ("gutter", "outlet", "downspout", "transition")


def eaves_section(answer: Plain, sizes: Sizes) -> list[RenderableType]:
    """What each gutter run must carry and carries, and from which rain on it spills where."""
    eaves = answer["hydraulics"]["eaves"]
    if not eaves["runs"]:
        return []
    head = ("gutter", "asked", *_shown(eaves), "spills from", "on")
    rows = [_row(run, _shown(eaves), sizes=sizes) for run in eaves["runs"]]
    return [
        heading("Eaves"),
        ruled(head, rows, names=(0, len(head) - 1)),
        paragraph(_storm(eaves, sizes), _others(eaves)),
    ]


def _shown(eaves: Plain) -> list[str]:
    """Parts that any run has."""
    return [part for part in PARTS if any(run[f"{part}_l_s"] is not None for run in eaves["runs"])]


def _row(run: Plain, parts: list[str], *, sizes: Sizes) -> tuple[str, ...]:
    flows = [_flow(run[f"{part}_l_s"], sizes) for part in parts]
    spills = _rain(run["spills_from_mm_h"], sizes)
    name = f"{run['roof']}, {run['name']}"
    return name, _flow(run["flow_l_s"], sizes), *flows, spills, run["spills_on"]


def _storm(eaves: Plain, sizes: Sizes) -> str:
    storm = f"{eaves['storm_minutes']:g}-minute rain of {eaves['storm_years']:g} years"
    rain = _rain(eaves["intensity_mm_h"], sizes)
    return (
        f"By the rules of {eaves['method']}: {storm}, "
        f"{'unknown' if eaves['intensity_mm_h'] is None else rain}."
    )


def _others(eaves: Plain) -> str:
    """How the runs stand by other rules, where those differ from these."""
    held = sum(run["holds"] is True for run in eaves["runs"])
    apart = [
        f"{other['method']} {other['hold']} of {len(eaves['runs'])}"
        for other in eaves["other_rules"]
        if other["hold"] != held and not other["unknown"]
    ]
    return f"Runs that hold: {held} here; by {'; '.join(apart)}." if apart else ""


def _flow(flow_l_s: float | None, sizes: Sizes) -> str:
    return "-" if flow_l_s is None else show(flow_l_s, "flow", system=sizes.system)


def _rain(intensity_mm_h: float | None, sizes: Sizes) -> str:
    return "-" if intensity_mm_h is None else show(intensity_mm_h, "intensity", system=sizes.system)
