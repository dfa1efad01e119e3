"""Lifts out of sumps as plain data."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict
from typing import Any

from eavewell.hydraulics.lift import LiftDuty, Lifted
from eavewell.hydraulics.pump_curve import energy_kwh_m3
from eavewell.hydraulics.sump_cycle import starts_allowed
from eavewell.hydraulics.sump_sizes import SumpSize
from eavewell.storage.within_day import Captured

Plain = dict[str, Any]
DAYS = 365.25


def lifts_answer(
    lifted: Lifted,
    *,
    captured: Iterable[Captured],
    sizes: Mapping[str, Sequence[SumpSize]],
    refused_l_year: Mapping[str, float] | None = None,
    sharper: Iterable[Captured] = (),
) -> list[Plain]:
    """Every lift: its levels, floats and storm, what it captures, and other sumps and pumps.

    refused_l_year : captured water that the full tank had no room for, which the sump spills.
    sharper : the same with storms as sharp as the site's own, where the donor's are flatter.
    """
    found = {one.lift.lift: one for one in captured}
    refused, sharp = refused_l_year or {}, {one.lift.lift: one for one in sharper}
    return [
        _lift(duty)
        | _storm(duty, lifted)
        | _captured(found.get(duty.lift.name))
        | _doubt(sharp.get(duty.lift.name), refused.get(duty.lift.name))
        | {"sizes": [_size(size) for size in sizes.get(duty.lift.name, ())]}
        for duty in lifted.lifts
    ]


def _lift(duty: LiftDuty) -> Plain:
    lift, floats = duty.lift, duty.floats
    allowed = starts_allowed(lift.pump) if lift.pump else None
    return {
        "name": lift.name,
        "sump": lift.source,
        "target": lift.target,
        "pump": lift.pump.name if lift.pump else "",
        "let_go_m": duty.let_go_m,
        "levels": [asdict(level) for level in duty.at],
        "drained_back_l": duty.back_l,
        "between_floats_l": floats.between_l if floats else None,
        "shortest_cycle_min": floats.cycle_min if floats else None,
        "most_starts_per_hour": floats.starts_h if floats else None,
        "starts_allowed_per_hour": allowed.value if allowed else None,
        "least_run_min": floats.run_min if floats else None,
        "energy_kwh_per_m3": _energy(duty),
        "unknown": list(duty.unknown),
    }


def _energy(duty: LiftDuty) -> float | None:
    pump, flow = duty.lift.pump, duty.level("start").flow_l_s
    if pump is None or pump.input_w is None or not flow:
        return None
    return energy_kwh_m3(flow, pump.input_w)


def _storm(duty: LiftDuty, lifted: Lifted) -> Plain:
    return {
        "roof_m2": duty.roof_m2,
        "storm_years": lifted.years,
        "storm_minutes": lifted.minutes,
        "intensity_mm_h": duty.intensity_mm_h,
        "inflow_l_s": duty.inflow_l_s,
        "spillway_l_s": duty.spillway_l_s,
        "spillway_m": duty.spillway_m,
    }


def _captured(one: Captured | None) -> Plain:
    per_year = DAYS / one.runoff_l.size if one else 0.0
    return {
        "captured_share": one.captured_share if one else None,
        "captured_l_per_year": float(one.captured_l.sum()) * per_year if one else None,
        "overtopped_l_per_year": float(one.overtopped_l.sum()) * per_year if one else None,
        "held_at_end_l": float(one.held_l[-1]) if one else None,
        "starts_per_year": float(one.starts.sum()) * per_year if one else None,
        "spread_days": one.spread_days if one else None,
        "balance_error_l": one.error_l if one else None,
        "storms": [asdict(found) for found in one.classes] if one else [],
        "years": [asdict(year) for year in one.years] if one else [],
    }


def _doubt(sharper: Captured | None, refused_l_year: float | None) -> Plain:
    return {
        "sharper_captured_share": sharper.captured_share if sharper else None,
        "refused_l_per_year": refused_l_year,
    }


def _size(size: SumpSize) -> Plain:
    return {
        "sump_l": size.sump_l,
        "pump": size.pump.name,
        "captured_l_per_year": size.captured_l_year,
        "captured_share": size.captured_share,
    }
