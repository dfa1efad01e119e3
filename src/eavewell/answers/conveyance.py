"""Collection pipes and first flush as plain data."""

import math
from typing import Any

from eavewell.hydraulics.conveyance import Conveyed, DryPipe
from eavewell.hydraulics.first_flush_pipe import FlushPipe
from eavewell.hydraulics.wet_main import WetMain, WetPipe

Plain = dict[str, Any]


def conveyance_answer(conveyed: Conveyed) -> Plain:
    """Dry pipes, wet mains with their branches, and what to drain before frost."""
    return {
        "storm_years": conveyed.years,
        "storm_minutes": conveyed.minutes,
        "intensity_mm_h": conveyed.intensity_mm_h,
        "dry": [_dry(pipe) for pipe in conveyed.dry],
        "mains": [_main(main) for main in conveyed.mains],
        "drain_down": [
            {
                "thing": point.thing,
                "level_m": point.level_m,
                "volume_l": point.volume_l,
                "drain_mm": point.drain_mm,
            }
            for point in conveyed.drain_down
        ],
    }


def first_flush_answer(conveyed: Conveyed) -> list[Plain]:
    """The first flush of each roof that has one."""
    return [_flush(pipe) for pipe in conveyed.flushes]


def _finite(value: float | None) -> float | None:
    """JSON has no infinity: beyond all that is known of the place's storms is null."""
    return None if value is None or math.isinf(value) else value


def _dry(pipe: DryPipe) -> Plain:
    return {
        "name": pipe.run.name,
        "to": pipe.run.to,
        "bore_mm": pipe.run.pipe.bore_mm,
        "area_m2": pipe.area_m2,
        "flow_l_s": pipe.flow_l_s,
        "fall": pipe.fall,
        "capacity_l_s": pipe.capacity_l_s,
        "depth_share": pipe.depth_share,
        "speed_m_s": pipe.speed_m_s,
        "common_speed_m_s": pipe.common_m_s,
        "holds": pipe.holds,
        "fails_from_mm_h": pipe.fails_mm_h,
        "fails_once_in_years": _finite(pipe.fails_years),
    }


def _main(main: WetMain) -> Plain:
    return {
        "name": main.name,
        "outlet_level_m": main.outlet_m,
        "holds": main.holds,
        "spare_m": main.spare_m,
        "first": main.first,
        "spills_from_mm_h": _finite(main.spills_mm_h),
        "spills_once_in_years": _finite(main.spills_years),
        "stale_l": main.stale_l,
        "small_storm_l": main.small_storm_l,
        "stale_share": main.stale_share,
        "pipes": [_wet(pipe) for pipe in main.pipes],
    }


def _wet(pipe: WetPipe) -> Plain:
    return {
        "name": pipe.run.name,
        "to": pipe.run.to,
        "bore_mm": pipe.run.pipe.bore_mm,
        "area_m2": pipe.area_m2,
        "flow_l_s": pipe.flow_l_s,
        "speed_m_s": pipe.speed_m_s,
        "loss_m": pipe.loss_m,
        "opening_level_m": pipe.opening_m,
        "water_level_m": pipe.water_m,
        "spare_m": pipe.spare_m,
        "holds_l": pipe.holds_l,
    }


def _flush(pipe: FlushPipe) -> Plain:
    loss = pipe.loss
    return {
        "roof": pipe.roof,
        "volume_l": pipe.volume_l,
        "depth_mm": pipe.depth_mm,
        "bore_mm": pipe.flush.bore_mm,
        "length_m": pipe.length_m,
        "empties_h": pipe.empties_h,
        "hole_mm": pipe.hole_mm,
        "gap_days": pipe.gap_days,
        "lost_l_per_year": loss.lost_l_year if loss else None,
        "lost_share": loss.share if loss else None,
    }
