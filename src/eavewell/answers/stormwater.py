"""Storm-water as plain data."""

from dataclasses import asdict
from typing import Any

from eavewell.stormwater.before_after import Event, Spot, StormWater

Plain = dict[str, Any]


def stormwater_answer(found: StormWater) -> Plain:
    """Before and after: the year, events, peaks, room before storms, low spots."""
    return {
        "checked": True,
        "year": asdict(found.year),
        "events": [_event(one) for one in found.events],
        "peak_years": found.peak_years,
        "peak_ground_l_s": found.peak_ground_l_s,
        "peak_with_roof_l_s": found.peak_roof_l_s,
        "usable_l": found.usable_l,
        "room": [asdict(one) for one in found.room],
        "draw_down_days": found.draw_down_days,
        "held_open_share": found.held_open.share if found.held_open else None,
        "held_open_room_tenth_l": found.held_open.room_tenth_l if found.held_open else None,
        "held_open_lost_l_per_year": found.held_open.lost_l_year if found.held_open else None,
        "low_spots": [_spot(one) for one in found.spots],
        "unknown": list(found.unknown),
    }


def _event(one: Event) -> Plain:
    return {
        "years": one.years,
        "rain_mm": one.rain_mm,
        "roof_l": one.roof_l,
        **asdict(one.volumes),
        "kept_mean_share": one.kept_mean_share,
        "kept_tenth_share": one.kept_tenth_share,
    }


def _spot(one: Spot) -> Plain:
    return {
        "name": one.spot.name,
        "before_l": one.before_l,
        "after_l": one.after_l,
        "before_mm": one.before_mm,
        "after_mm": one.after_mm,
        "soak_before_h": one.soak_before_h,
        "soak_after_h": one.soak_after_h,
    }
