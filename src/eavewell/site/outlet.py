"""Where water leaves a line: taps, drip laterals, troughs and bowls."""

from dataclasses import dataclass

from eavewell.site.pipe import Pipe


@dataclass(frozen=True, slots=True)
class Outlet:
    """A tap, fixture or hose end, or several equal ones side by side.

    fixture : a row name in tables/outlets.csv, which gives what it needs.
    level_m : above the datum; None unknown.
    at_m    : distance along the line's main to its branch; None for the end of the main.
    branch  : pipe from the main; None where it stands on the main.
    needs_l_s, needs_m : flow and head it needs in place of the table's.
    """

    name: str
    fixture: str
    count: int = 1
    level_m: float | None = None
    at_m: float | None = None
    branch: Pipe | None = None
    needs_l_s: float | None = None
    needs_m: float | None = None


@dataclass(frozen=True, slots=True)
class Emitter:
    """A drip emitter, flow = k head ** exponent, given by one rated point.

    variation  : coefficient of variation of its making, a share; None unknown.
    passage_mm : narrowest way through it; None unknown.
    """

    name: str
    rated_l_h: float
    rated_m: float
    exponent: float = 0.5
    variation: float | None = None
    passage_mm: float | None = None
    adjustable: bool = False


@dataclass(frozen=True, slots=True)
class Lateral:
    """A drip line with emitters at equal spacing.

    plants      : plants it waters; each has `each` emitters.
    bore_mm     : of the lateral itself; feed : pipe from the main to its first plant.
    far_level_m : level of its far end; None where it lies level with its start.
    plant_l_day : water each plant wants on its peak day; None unknown.
    mesh_mm     : opening of the filter before it; None unknown, 0 for none.
    waters      : name of the use whose plants they are; "" unknown.
    """

    name: str
    plants: int
    emitter: Emitter
    spacing_m: float
    bore_mm: float
    each: int = 1
    material: str = "polyethylene"
    feed: Pipe | None = None
    at_m: float | None = None
    level_m: float | None = None
    far_level_m: float | None = None
    plant_l_day: float | None = None
    mesh_mm: float | None = None
    waters: str = ""


@dataclass(frozen=True, slots=True)
class Trough:
    """A trough or bowl filled by a float valve.

    waters    : name of the use whose animals drink there; "" unknown.
    volume_l  : between the float's level and empty; surface_m2 : open water.
    valve_l_s : flow of the open float valve at valve_m head.
    walk_m    : how far the animals come to drink; None unknown.
    edge_m    : length of edge they can drink at; None unknown.
    limiter_l_s : most a flow limiter lets through; None for none.
    ramp      : whether small animals can climb out; None unknown.
    """

    name: str
    volume_l: float
    waters: str = ""
    surface_m2: float = 0.0
    valve_l_s: float | None = None
    valve_m: float | None = None
    level_m: float | None = None
    at_m: float | None = None
    branch: Pipe | None = None
    walk_m: float | None = None
    edge_m: float | None = None
    limiter_l_s: float | None = None
    ramp: bool | None = None
