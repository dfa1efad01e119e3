"""A gutter run and the downspouts that empty it."""

from dataclasses import dataclass
from typing import Literal

GutterShape = Literal["half-round", "rectangular", "ogee"]
SpillsOn = Literal["clear ground", "door", "footing", "unknown"]


@dataclass(frozen=True, slots=True)
class Downspout:
    """One downspout: round by its bore, or rectangular by two inside widths.

    outlet_mm : bore of the outlet in the gutter; None where it is as wide as the downspout.
    into_mm   : bore of the round pipe it runs into; None where it ends above the ground.
    """

    bore_mm: float | None = None
    width_mm: float | None = None
    depth_mm: float | None = None
    outlet_mm: float | None = None
    into_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Gutter:
    """One run of gutter along an eave.

    fall         : metres of fall per metre of run; None where unknown, 0 for a level run.
    plan_area_m2 : roof that drains to it, on plan; None where the roof's runs share it by length.
    wall_m2      : wall above the roof that sheds rain onto it, all walls together.
    walls        : how many walls that is; two adjoining walls count for less than their sum.
    corners      : bends in the run.
    spouts       : how many equal downspouts empty it, spread evenly.
    spills_on    : what stands below where it would spill.
    """

    name: str
    shape: GutterShape
    width_mm: float
    length_m: float
    depth_mm: float | None = None
    fall: float | None = None
    plan_area_m2: float | None = None
    wall_m2: float = 0.0
    walls: int = 0
    corners: int = 0
    downspout: Downspout | None = None
    spouts: int = 1
    spills_on: SpillsOn = "unknown"
