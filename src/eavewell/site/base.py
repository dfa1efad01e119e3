"""What a tank stands on, and what it lies in."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Base:
    """The base under one tank.

    kind     : a row name in tables/bases.csv (slab, crushed rock, sand with edging, blocks).
    area_m2  : area that carries the tank onto the soil, under one tank; None where it follows
               from the tank and its edge.
    edge_m   : how far it reaches beyond the tank; None unknown.
    soil     : a row name in tables/bearing.csv; "" unknown.
    thick_m  : thickness of the base itself.
    height_m : height of a stand above the ground; 0 for none.
    blocks, block_m2 : pads under a stand and the area of one.
    width_m  : narrow width of a stand, for tipping; None unknown.
    tied     : whether it is tied back to a wall or post; None unknown.
    """

    kind: str
    area_m2: float | None = None
    edge_m: float | None = None
    soil: str = ""
    thick_m: float = 0.0
    height_m: float = 0.0
    blocks: int = 0
    block_m2: float = 0.0
    width_m: float | None = None
    tied: bool | None = None


@dataclass(frozen=True, slots=True)
class Burial:
    """How a tank lies in the ground.

    cover_m       : soil over its top; 0 for none.
    groundwater_m : highest groundwater above the site datum; None unknown.
    rated         : whether its maker rates it for burial; None unknown.
    anchor_kg     : weight under water of slab or anchors tied to it.
    """

    cover_m: float = 0.0
    groundwater_m: float | None = None
    rated: bool | None = None
    anchor_kg: float = 0.0
