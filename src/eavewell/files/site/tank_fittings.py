"""What is fitted to a tank and what it stands on, from its part of the site file."""

from eavewell.files.site.parts import Part
from eavewell.files.site.pipes import pipe_in
from eavewell.site.base import Base, Burial
from eavewell.site.pipe import Pipe
from eavewell.site.tank_fittings import Link, Overflow, TankFittings


def fittings_of(part: Part) -> TankFittings:
    """Inlet, overflow, vent, link and drain of one tank."""
    floors: tuple[float, ...] = part["floors"] or ()
    if floors and len(floors) != (part["count"] or 1):
        part.fault(f"{len(floors)} floors are given for {part['count'] or 1} tanks.", "floors")
    return TankFittings(
        inlet_m=part["inlet"],
        inlet_mm=part["inlet_bore"],
        overflow=_overflow(part["overflow_pipe"]),
        link=_link(part["link"]),
        bases_m=floors,
        vent_mm=part["vent"],
        vent_screened=part["vent_screened"] is not False,
        drain_mm=part["drain"],
        sight_tube=part["sight_tube"],
        translucent=part["translucent"],
        hauled_l_s=part["hauled_fill"],
        truck_fill_gap=part["truck_gap"],
        make_up_l_s=part["make_up"],
        air_gap_m=part["air_gap"],
        backflow_device=part["backflow_device"] or "",
        calmed_inlet=part["calmed_inlet"],
        floating_intake=part["floating_intake"],
        lid_locked=part["lid_locked"],
        mesh_mm=part["mesh"],
    )


def base_of(part: Part | None) -> Base | None:
    """The base under one tank; None where the file has none."""
    if part is None:
        return None
    return Base(
        kind=part["kind"] or "",
        area_m2=part["area"],
        edge_m=part["edge"],
        soil=part["soil"] or "",
        thick_m=part["thick"] or 0.0,
        height_m=part["height"] or 0.0,
        blocks=part["blocks"] or 0,
        block_m2=part["block"] or 0.0,
        width_m=part["width"],
        tied=part["tied"],
    )


def burial_of(part: Part | None) -> Burial | None:
    """How a tank lies in the ground; None above it."""
    if part is None:
        return None
    return Burial(part["cover"] or 0.0, part["groundwater"], part["rated"], part["anchor"] or 0.0)


def _overflow(part: Part | None) -> Overflow | None:
    if part is None:
        return None
    pipe: Pipe | None = None
    if "weir" not in part.given:
        pipe = pipe_in(part)
    elif {"size", "bore"} & part.given:
        part.fault("weir is an open spillway: take size and bore out.", "weir")
    return Overflow(
        pipe=pipe,
        weir_m=part["weir"],
        count=part["count"] or 1,
        screened=bool(part["screened"]),
        air_break_m=part["air_break"],
        away_m=part["away"],
        end_m=part["end"],
        fall=part["fall"],
    )


def _link(part: Part | None) -> Link | None:
    if part is None:
        return None
    return Link(pipe_in(part), part["level"] or 0.0, part["valves"], part["flexible"])
