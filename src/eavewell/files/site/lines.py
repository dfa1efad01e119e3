"""Water lines from their parts of the site file, with all that stands on them."""

from eavewell.files.site.barriers import in_line_of
from eavewell.files.site.parts import Part
from eavewell.files.site.pipes import bore_of, pipe_in, pipe_of
from eavewell.files.site.pumps import pump_of
from eavewell.site.line import Line, PressureTank
from eavewell.site.outlet import Emitter, Lateral, Outlet, Trough


def line_of(part: Part) -> Line:
    """One line; faults where its pressures or its places along the main cannot be true."""
    _check_line(part)
    return Line(
        name=part["name"] or "",
        source=part["from"] or "",
        main=pipe_in(part),
        level_m=part["level"],
        pump=pump_of(part),
        pump_m=part["pump_level"],
        suction=pipe_of(part["suction"]),
        control=part["control"] or "switch",
        cut_in_m=part["cut_in"],
        cut_out_m=part["cut_out"],
        pressure_tank=_pressure_tank(part["pressure_tank"]),
        check_valve=part["check_valve"],
        dry_run_m=part["dry_run"],
        in_line=tuple(in_line_of(one) for one in part["in_line"]),
        outlets=tuple(_outlet(one) for one in part["outlets"]),
        laterals=tuple(_lateral(one) for one in part["laterals"]),
        troughs=tuple(_trough(one) for one in part["troughs"]),
        heater=part["heater"],
        hydrant_drains=part["hydrant_drains"],
        expansion_tank=part["expansion_tank"],
        vacuum_breakers=part["vacuum_breakers"],
        serves=part["serves"] or (),
    )


def _check_line(part: Part) -> None:
    cut_in, cut_out = part["cut_in"], part["cut_out"]
    if cut_in is not None and cut_out is not None and cut_in >= cut_out:
        part.fault("cut_in is not below cut_out: the switch would never rest.", "cut_in")
    tank, named = part["pressure_tank"], [one["name"] for one in part["in_line"]]
    if len(set(named)) < len(named):
        part.fault("two things in it have the same name.", "in_line")
    if tank is not None and tank["after"] and tank["after"] not in named:
        tank.fault(f"nothing in the line is called {tank['after']!r}.", "after")
    length = part["length"]
    for one in (*part["outlets"], *part["laterals"], *part["troughs"]):
        if length and one["at"] is not None and one["at"] > length:
            one.fault("it stands beyond the end of the main: at is longer than length.", "at")


def _pressure_tank(part: Part | None) -> PressureTank | None:
    if part is None:
        return None
    return PressureTank(
        part["size"] or 1.0, part["precharge"], part["level"], after=part["after"] or ""
    )


def _outlet(part: Part) -> Outlet:
    return Outlet(
        name=part["name"] or "",
        fixture=part["fixture"] or "",
        count=part["count"] or 1,
        level_m=part["level"],
        at_m=part["at"],
        branch=pipe_of(part["branch"]),
        needs_l_s=part["needs_flow"],
        needs_m=part["needs_pressure"],
    )


def _lateral(part: Part) -> Lateral:
    emitter = Emitter(
        name=f"{part['name']} emitter",
        rated_l_h=part["emitter"] or 1.0,
        rated_m=part["emitter_at"] or 1.0,
        exponent=0.5 if part["exponent"] is None else part["exponent"],
        variation=part["variation"],
        passage_mm=part["passage"],
        adjustable=bool(part["adjustable"]),
    )
    return Lateral(
        name=part["name"] or "",
        plants=part["plants"] or 1,
        emitter=emitter,
        spacing_m=part["spacing"] or 1.0,
        bore_mm=bore_of(part),
        each=part["each"] or 1,
        material=part["material"] or "polyethylene",
        feed=pipe_of(part["feed"]),
        at_m=part["at"],
        level_m=part["level"],
        far_level_m=part["far_level"],
        plant_l_day=part["plant_day"],
        mesh_mm=part["mesh"],
        waters=part["waters"] or "",
    )


def _trough(part: Part) -> Trough:
    return Trough(
        name=part["name"] or "",
        volume_l=part["volume"] or 1.0,
        waters=part["waters"] or "",
        surface_m2=part["open_area"] or 0.0,
        valve_l_s=part["valve"],
        valve_m=part["valve_at"],
        level_m=part["level"],
        at_m=part["at"],
        branch=pipe_of(part["branch"]),
        walk_m=part["walk"],
        edge_m=part["edge"],
        limiter_l_s=part["limiter"],
        ramp=part["ramp"],
    )
