"""Tanks, sumps, lifts and hauled water from their parts of the site file."""

import math
from dataclasses import replace

from eavewell.files.site.parts import Part
from eavewell.files.site.pipes import pipe_of
from eavewell.files.site.pumps import pump_of
from eavewell.files.site.tank_fittings import base_of, burial_of, fittings_of
from eavewell.site.hauling import Hauling
from eavewell.site.lift import Lift
from eavewell.site.reserve import HeldBy, Reserve
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import (
    Box,
    ConeBottom,
    HorizontalCylinder,
    StrappingTable,
    TankShape,
    UprightCylinder,
)
from eavewell.units import show

# sizes each shape is told by; a part with exactly these has that shape
SIZES = {
    "upright cylinder": {"diameter", "height"},
    "box": {"length", "width", "height"},
    "horizontal cylinder": {"diameter", "length"},
    "cone bottom": {"diameter", "height", "cone"},
    "measured": {"table"},
}


def tank_of(part: Part, *, is_sump: bool = False) -> Tank:
    """A tank or sump; faults where its levels and sizes cannot all be true."""
    shape = _shape(part)
    tank = Tank(
        name=part["name"] or "",
        count=part["count"] or 1,
        stated_l=part["each"],
        shape=shape,
        base_m=part["base"],
        outlet_m=part["outlet"],
        overflow_m=part["overflow"],
        dead_l=part["dead"],
        overflow_to=part["overflow_to"] or "",
        start_share=part["start"],
        open_area_m2=part["open_area"] or 0.0,
        is_sump=is_sump,
        fittings=fittings_of(part),
        stands_on=base_of(part["stands_on"]),
        burial=burial_of(part["burial"]),
        empty_kg=part["empty_weight"],
        material=part["material"] or "",
        anchored=part["anchored"],
        distances=part["distances"] or (),
        listed=part["listed"] or "",
    )
    _check_levels(part, tank)
    reserve = reserve_of(part["fire_reserve"], (tank,))
    if reserve is None:
        return tank
    return replace(tank, fire_reserve=reserve)


def reserve_of(part: Part | None, tanks: tuple[Tank, ...]) -> Reserve | None:
    """A reserve; where it is held by an outlet's height, the volume comes from the tank's shape.

    tanks : the tanks it is kept in, those that could be read.
    """
    if part is None:
        return None
    held_by: HeldBy = part["held_by"] or "unknown"
    if part.one_of("keep", "height") != "height":
        keep = part["keep"] or Reserve(volume_l=0.0)
        return Reserve(keep.volume_l, keep.share, held_by)
    if len(tanks) != 1 or tanks[0].shape is None:
        part.fault("height needs one tank whose shape is known: write keep instead.", "height")
        return Reserve(volume_l=0.0, held_by=held_by)
    tank, height_m = tanks[0], part["height"] or 0.0
    below_l = tank.count * (tank.shape.volume_l(height_m) if tank.shape else 0.0)
    if height_m and below_l > tank.full_l:
        part.fault(f"the outlet stands above the overflow of {tank.name}.", "height")
    return Reserve(volume_l=max(0.0, below_l - tank.dead_storage_l), held_by=held_by)


def lift_of(part: Part) -> Lift:
    """A lift between two stores."""
    if part["source_start"] is not None and (part["source_stop"] or 0.0) > part["source_start"]:
        part.fault("source_stop stands above source_start: it would stop before it starts.")
    if (part["target_start"] or 0.0) > (part["target_stop"] or 0.0):
        part.fault("target_start stands above target_stop: it would start where it has stopped.")
    if part["start"] is not None and (part["stop"] or 0.0) >= part["start"]:
        part.fault("the stop float does not stand below the start float.", "stop")
    return Lift(
        name=part["name"] or "",
        source=part["from"] or "",
        target=part["to"] or "",
        limit_l_day=part["limit"],
        source_start_l=part["source_start"] or 0.0,
        source_stop_l=part["source_stop"] or 0.0,
        target_start_share=1.0 if part["target_start"] is None else part["target_start"],
        target_stop_share=1.0 if part["target_stop"] is None else part["target_stop"],
        pump=pump_of(part),
        riser=pipe_of(part["riser"]),
        let_go_m=part["let_go"],
        start_m=part["start"],
        stop_m=part["stop"],
        check_valve=part["check_valve"],
        weep_hole=part["weep_hole"],
        full_float=part["full_float"],
        alarm=part["alarm"],
        second_pump=part["second_pump"],
        solids_mm=part["solids"],
    )


def hauling_of(part: Part) -> Hauling:
    """Truckloads to one store; part days of lead time count as whole ones."""
    return Hauling(
        to=part["to"] or "",
        load_l=part["load"] or 0.0,
        lead_days=math.ceil(part["lead"] or 0.0),
        order_below=part["order_below"],
        safety_days=math.ceil(part["safety"] or 0.0),
    )


def _shape(part: Part) -> TankShape | None:
    sizes = {name for names in SIZES.values() for name in names}
    given = sizes & part.given
    if not given:
        if "each" not in part.given:
            part.fault(
                "the tank has no size: give each, such as '2,600 gal', or diameter and height."
            )
        elif "shape" in part.given:
            part.fault(f"a {part['shape'] or 'shape'} needs its sizes.", "shape")
        return None
    shape = next((shape for shape, needs in SIZES.items() if needs == given), "")
    if not shape or part["shape"] not in (None, shape):
        _say_sizes(part, given)
        return None
    if any(part[name] is None for name in given):
        return None
    return _built(part, shape)


def _say_sizes(part: Part, given: set[str]) -> None:
    wanted = part["shape"]
    shapes = {wanted: SIZES[wanted]} if wanted else SIZES
    needs = "; ".join(f"{shape}: {' + '.join(sorted(need))}" for shape, need in shapes.items())
    make = "make" if len(given) > 1 else "alone makes"
    says = f"{' + '.join(sorted(given))} {make} no shape; write {needs}."
    begun = any(given < need for need in shapes.values())  # no size is wrong: one is missing
    part.fault(says) if begun else part.fault(says, min(given))


def _built(part: Part, shape: str) -> TankShape | None:
    if shape == "upright cylinder":
        return UprightCylinder(part["diameter"], part["height"])
    if shape == "box":
        return Box(part["length"], part["width"], part["height"])
    if shape == "horizontal cylinder":
        return HorizontalCylinder(part["diameter"], part["length"])
    if shape == "measured":
        depths_m, volumes_l = zip(*part["table"], strict=True)
        return StrappingTable(depths_m, volumes_l)
    if part["cone"] > part["height"]:
        part.fault("the cone is higher than the whole tank: height counts from its point.", "cone")
        return None
    return ConeBottom(part["diameter"], part["cone"], part["height"])


def _check_levels(part: Part, tank: Tank) -> None:
    if tank.shape is None:
        _check_levels_without_shape(part, tank)
        return
    rim_m, overflow_m = tank.shape.height_m, tank.overflow_m
    if overflow_m is not None and overflow_m > rim_m + 1e-9:
        part.fault(f"the overflow at {_m(overflow_m)} is above the rim at {_m(rim_m)}.", "overflow")
    elif tank.outlet_m is not None and tank.outlet_m >= (overflow_m or rim_m):
        part.fault(
            f"the outlet at {_m(tank.outlet_m)} is not below the overflow at "
            f"{_m(overflow_m or rim_m)}: nothing could be drawn.",
            "outlet",
        )
    else:
        _check_dead(part, tank)


def _check_levels_without_shape(part: Part, tank: Tank) -> None:
    # without a shape a height says nothing about a volume, and a silent guess is worse
    if any(name in part.given for name in {n for needs in SIZES.values() for n in needs}):
        return
    if tank.overflow_m is not None:
        part.fault(
            "overflow is a height, and the tank's shape is unknown: add diameter and height, or "
            "state the size up to the overflow as each.",
            "overflow",
        )
    if tank.outlet_m is not None and tank.dead_l is None:
        part.fault(
            "outlet is a height, and the tank's shape is unknown: add diameter and height, or "
            "state the water below the outlet as dead.",
            "outlet",
        )
    _check_dead(part, tank)


def _check_dead(part: Part, tank: Tank) -> None:
    if tank.full_l and tank.dead_l is not None and tank.usable_l <= 0.0:
        part.fault(
            f"the dead storage of {show(tank.dead_l, 'volume')} is all that the tank holds "
            f"({show(tank.full_l / tank.count, 'volume')}): nothing could be drawn.",
            "dead",
        )


def _m(height_m: float) -> str:
    return f"{show(height_m, 'length', system='us')} ({show(height_m, 'length', system='metric')})"
