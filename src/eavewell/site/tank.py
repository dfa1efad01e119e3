"""A tank, or several equal tanks joined by an open pipe."""

from dataclasses import dataclass, field

from eavewell.site.base import Base, Burial
from eavewell.site.reserve import Reserve
from eavewell.site.tank_fittings import TankFittings
from eavewell.site.tank_shape import TankShape


@dataclass(frozen=True, slots=True)
class Tank:
    """One store: `count` equal tanks joined by an open pipe.

    stated_l    : size of one tank as its maker states it, to the rim; None where unknown.
    shape       : of one tank; None where only the stated size is known.
    base_m      : floor above the site datum; None where unknown.
    outlet_m    : outlet above the floor; None where unknown.
    overflow_m  : overflow above the floor; None where unknown, then the rim.
    dead_l      : dead storage of one tank where stated as a volume.
    overflow_to : name of a store below, or a place in words such as "swale"; "" unknown.
    start_share : share of the usable volume held on the first day; None where not stated.
    reserves    : water no use may draw, e.g. for fire, with what holds it.
    open_area_m2: water surface open to the air, all tanks together; 0 for a closed tank.
    is_sump     : True for a sump from which a lift draws.
    fittings    : inlet, overflow, vent, link and drain.
    stands_on   : its base; None unknown. burial : how it lies in the ground; None above it.
    empty_kg    : weight of one empty tank; None unknown.
    material    : such as polyethylene, lined steel, concrete; "" unknown.
    anchored    : whether it is tied down against wind; None unknown.
    listed      : what lists it or its liner for drinking water, in words; "" for none.
    distances   : from what, in words such as "property line", and how far in m.
    """

    name: str
    count: int = 1
    stated_l: float | None = None
    shape: TankShape | None = None
    base_m: float | None = None
    outlet_m: float | None = None
    overflow_m: float | None = None
    dead_l: float | None = None
    overflow_to: str = ""
    start_share: float | None = None
    fire_reserve: Reserve | None = None
    open_area_m2: float = 0.0
    is_sump: bool = False
    fittings: TankFittings = field(default_factory=TankFittings)
    stands_on: Base | None = None
    burial: Burial | None = None
    empty_kg: float | None = None
    material: str = ""
    anchored: bool | None = None
    distances: tuple[tuple[str, float], ...] = ()
    listed: str = ""

    @property
    def rim_l(self) -> float:
        """Volume to the rim, all tanks together: from the shape where known, else as stated."""
        one = self.shape.volume_l(self.shape.height_m) if self.shape else (self.stated_l or 0.0)
        return self.count * one

    @property
    def full_l(self) -> float:
        """Volume at the overflow, all tanks together."""
        return self.count * self._one_below(self.overflow_m, otherwise_l=self.rim_l / self.count)

    @property
    def dead_storage_l(self) -> float:
        """Volume below the outlet that no use can draw, all tanks together."""
        if self.dead_l is not None:
            return self.count * self.dead_l
        return self.count * self._one_below(self.outlet_m, otherwise_l=0.0)

    @property
    def usable_l(self) -> float:
        """Volume between outlet and overflow, all tanks together."""
        return self.full_l - self.dead_storage_l

    def _one_below(self, level_m: float | None, *, otherwise_l: float) -> float:
        if level_m is None:
            return otherwise_l
        if self.shape is not None:
            return self.shape.volume_l(level_m)
        return otherwise_l
