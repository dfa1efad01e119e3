"""Tank fittings as plain data."""

from typing import Any

from eavewell.hydraulics.tank_connections import Connected

Plain = dict[str, Any]


def tanks_answer(connected: tuple[Connected, ...]) -> list[Plain]:
    """Every tank that is no sump, with what its fittings pass."""
    return [_tank(one) for one in connected]


def _tank(one: Connected) -> Plain:
    tank = one.tank
    return {
        "name": tank.name,
        "count": tank.count,
        "described": one.described,
        "storm_l_s": one.storm_l_s,
        "hauled_l_s": one.hauled_l_s,
        "peak_l_s": one.peak_l_s,
        "overflow_l_s": one.overflow_l_s,
        "freeboard_m": one.freeboard_m,
        "overflow_to": tank.overflow_to,
        "vent_l_s": one.vent_l_s,
        "air_l_s": one.air_l_s,
        "link_l_s": one.link_l_s,
        "link_must_l_s": one.link_must_l_s,
        "spills_first": one.floors.first if one.floors else None,
        "lost_l": one.floors.lost_l if one.floors else 0.0,
        "shims_m": list(one.floors.shims_m) if one.floors else [],
        "nominal_l": tank.rim_l,
        "dead_l": tank.dead_storage_l,
        "usable_l": one.usable_l,
        "drain_h": one.drain_h,
        "unknown": list(one.unknown),
    }
