"""Roof drainage as plain data."""

import math
from dataclasses import asdict
from typing import Any

from eavewell.hydraulics.eaves import EaveRun, Eaves, ScreenFlow

Plain = dict[str, Any]
PARTS = ("gutter", "outlet", "downspout", "transition")


def eaves_answer(eaves: Eaves) -> Plain:
    """The design storm, every gutter run and every screen."""
    return {
        "method": eaves.method.name,
        "basis": eaves.method.basis,
        "storm_years": eaves.years,
        "storm_minutes": eaves.minutes,
        "intensity_mm_h": eaves.rain.mm_h if eaves.rain else None,
        "intensity_low_mm_h": eaves.rain.low_mm_h if eaves.rain else None,
        "intensity_high_mm_h": eaves.rain.high_mm_h if eaves.rain else None,
        "storm_says": eaves.says,
        "runs": [_run(run) for run in eaves.runs],
        "screens": [_screen(screen) for screen in eaves.screens],
        "other_rules": [asdict(other) for other in eaves.others],
    }


def _run(run: EaveRun) -> Plain:
    capacities = {part.name: part.capacity_l_s for part in run.parts}
    return {
        "roof": run.roof,
        "name": run.gutter.name,
        "plan_area_m2": run.plan_area_m2,
        "counted_area_m2": run.area_m2,
        "flow_l_s": run.flow_l_s,
        **{f"{part}_l_s": capacities.get(part) for part in PARTS},
        "governing": run.governing,
        "holds": run.holds,
        "spills_from_mm_h": run.spill_mm_h,
        "spills_once_in_years": _finite(run.spill_years),
        "spills_on": run.gutter.spills_on,
    }


def _screen(screen: ScreenFlow) -> Plain:
    return {
        "roof": screen.roof,
        "name": screen.screen,
        "flow_l_s": screen.flow_l_s,
        "half_clogged_l_s": screen.half_l_s,
        "spills_from_mm_h": screen.spill_mm_h,
    }


def _finite(years: float | None) -> float | None:
    """JSON has no infinity: rarer than all that is known of the place's storms is null."""
    return None if years is None or math.isinf(years) else years
