"""Gravity lines as plain data."""

from typing import Any

from eavewell.hydraulics.drip import LateralRun, Watered
from eavewell.hydraulics.gravity import GravityLine, OutletRun
from eavewell.hydraulics.troughs import TroughRun

Plain = dict[str, Any]


def gravity_answer(lines: tuple[GravityLine, ...]) -> list[Plain]:
    """Every line without a pump, with what each outlet, plant and trough gets."""
    return [
        {
            "name": line.line.name,
            "tank": line.line.source,
            "water_full_m": line.levels.full_m if line.levels else None,
            "water_low_m": line.levels.low_m if line.levels else None,
            "outlets": [_outlet(run) for run in line.outlets],
            "laterals": [_lateral(run) for run in line.laterals],
            "troughs": [_trough(run) for run in line.troughs],
            "unknown": list(line.unknown),
        }
        for line in lines
    ]


def _outlet(run: OutletRun) -> Plain:
    return {
        "name": run.outlet.name,
        "fixture": run.outlet.fixture,
        "needs_l_s": run.needs.flow_l_s * run.outlet.count,
        "needs_m": run.needs.head_m,
        **{
            f"static_{at}_m": value
            for at, value in zip(("full", "half", "low"), run.static_m, strict=True)
        },
        **{
            f"flow_{at}_l_s": value
            for at, value in zip(("full", "half", "low"), run.flow_l_s, strict=True)
        },
        "bucket_min": run.bucket_min,
    }


def _lateral(run: LateralRun) -> Plain:
    return {
        "name": run.lateral.name,
        "plants": run.lateral.plants,
        "full": watered_answer(run.full),
        "half": watered_answer(run.half),
        "low": watered_answer(run.low),
        "hours": run.hours,
        "raise_tank_m": run.raise_m,
        "carries_plants": run.carries,
    }


def watered_answer(found: Watered) -> Plain:
    """What each plant of a drip line gets, and how evenly."""
    return {
        "plant_l_h": list(found.plant_l_h),
        "emission_uniformity": found.emission,
        "coefficient_of_uniformity": found.christiansen,
        "low_quarter_uniformity": found.low_quarter,
        "least_of_rated": found.least_share,
    }


def _trough(run: TroughRun) -> Plain:
    return {
        "name": run.trough.name,
        "way": run.way,
        "refill_low_l_s": run.refill_l_s,
        "stuck_open_l_s": run.open_l_s,
        "day_l": run.day_l,
        "evaporates_l_day": run.evaporates_l_day,
        "needs_l_s": run.needs_l_s,
        "must_hold_l": run.stored_l,
        "empties_tank_h": run.stuck_h,
    }
