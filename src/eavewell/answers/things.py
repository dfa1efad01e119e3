"""What stands on the site, as the site file describes it: plain data for manuals and tests."""

from typing import Any

from eavewell.answers.things_of_lines import lift_things, line_things
from eavewell.site.gutter import Gutter
from eavewell.site.pipe import PipeRun
from eavewell.site.roof import Roof
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.site.tank_fittings import TankFittings
from eavewell.site.tank_shape import Box, ConeBottom, HorizontalCylinder, UprightCylinder

Plain = dict[str, Any]
_SHAPES = {
    UprightCylinder: "round",
    Box: "box",
    HorizontalCylinder: "lying cylinder",
    ConeBottom: "round with a cone below",
}


def things_answer(site: Site) -> Plain:
    """Roofs, pipes, tanks, lines, lifts and trucks; None or "" where the file says nothing."""
    return {
        "roofs": [_roof(roof) for roof in site.roofs],
        "pipes": [_pipe(run) for run in site.runs],
        "tanks": [_tank(tank) for tank in site.tanks],
        "lines": line_things(site),
        "lifts": lift_things(site),
        "hauled": [
            {
                "to": one.to,
                "load_l": one.load_l,
                "lead_days": one.lead_days,
                "safety_days": one.safety_days,
            }
            for one in site.hauling
        ],
        "make_up": any(lift.source == "mains" for lift in site.lifts)
        or any(use.fallback == "mains" for use in site.uses),
    }


def _roof(roof: Roof) -> Plain:
    return {
        "name": roof.name,
        "planes": [
            {"name": plane.name, "plan_area_m2": plane.plan_area_m2} for plane in roof.planes
        ],
        "pitch": roof.pitch,
        "finish": roof.finish,
        "flashing": roof.surface.flashing,
        "paint": roof.surface.paint,
        "treated_timber": roof.surface.treated_timber,
        "eave_m": roof.eave_m,
        "drains_to": roof.drains_to,
        "gutters": [_gutter(gutter) for gutter in roof.gutters],
        "screens": [{"name": one.name, "mesh_mm": one.mesh_mm} for one in roof.screens],
    }


def _gutter(gutter: Gutter) -> Plain:
    return {
        "name": gutter.name,
        "shape": gutter.shape,
        "width_mm": gutter.width_mm,
        "depth_mm": gutter.depth_mm,
        "length_m": gutter.length_m,
        "fall": gutter.fall,
        "downspouts": gutter.spouts if gutter.downspout else 0,
    }


def _pipe(run: PipeRun) -> Plain:
    return {
        "name": run.name,
        "carries": list(run.carries),
        "to": run.to,
        "bore_mm": run.pipe.bore_mm,
        "length_m": run.pipe.length_m,
        "material": run.pipe.material,
        "held_full": run.held_full,
        "cover_m": run.cover_m,
        "drain_mm": run.drain_mm,
    }


def _tank(tank: Tank) -> Plain:
    base, burial, reserve = tank.stands_on, tank.burial, tank.fire_reserve
    return {
        "name": tank.name,
        "is_sump": tank.is_sump,
        "count": tank.count,
        "each_l": tank.rim_l / tank.count,
        **_measures(tank),
        "material": tank.material,
        "buried": burial is not None,
        "cover_m": burial.cover_m if burial else None,
        "base": base.kind if base else "",
        "soil": base.soil if base else "",
        "base_edge_m": base.edge_m if base else None,
        "base_thick_m": base.thick_m if base else None,
        "stand_m": base.height_m if base else None,
        "anchored": tank.anchored,
        "outlet_m": tank.outlet_m,
        "overflow_m": tank.overflow_m,
        "overflow_to": tank.overflow_to,
        "fire_reserve_l": reserve.litres(tank.usable_l) if reserve else None,
        "fire_held_by": reserve.held_by if reserve else "",
        **_fitted(tank.fittings),
    }


def _measures(tank: Tank) -> Plain:
    """Shape and outside measures; a lying tank is as high as it is wide."""
    shape = tank.shape
    width = getattr(shape, "diameter_m", getattr(shape, "width_m", None))
    return {
        "shape": _SHAPES.get(type(shape), "measured" if shape else ""),
        "width_m": width,
        "length_m": getattr(shape, "length_m", None),
        "height_m": shape.height_m if shape else None,
    }


def _fitted(fits: TankFittings) -> Plain:
    over, link = fits.overflow, fits.link
    return {
        "inlet_mm": fits.inlet_mm,
        "calmed_inlet": fits.calmed_inlet,
        "floating_intake": fits.floating_intake,
        "overflow_mm": over.pipe.bore_mm if over and over.pipe else None,
        "overflow_count": over.count if over else 0,
        "overflow_screened": over.screened if over else None,
        "air_break_m": over.air_break_m if over else None,
        "away_m": over.away_m if over else None,
        "vent_mm": fits.vent_mm,
        "drain_mm": fits.drain_mm,
        "link_mm": link.pipe.bore_mm if link else None,
        "link_valves": link.valves if link else None,
        "mesh_mm": fits.mesh_mm,
        "lid_locked": fits.lid_locked,
        "sight_tube": fits.sight_tube,
        "translucent": fits.translucent,
        "truck_gap": fits.truck_fill_gap,
        "make_up_l_s": fits.make_up_l_s,
        "air_gap_m": fits.air_gap_m,
        "backflow_device": fits.backflow_device,
    }
