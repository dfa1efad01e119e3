"""The ground around the building, for its storm-water."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LowSpot:
    """A place where water stands.

    area_m2 : its area; infiltration_mm_h : how fast it soaks in; None unknown.
    receives : names of the roofs whose water reached it before they were caught.
    """

    name: str
    area_m2: float
    infiltration_mm_h: float | None = None
    receives: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Ground:
    """The drained ground around the roofs.

    area_m2 : of the whole drained place, roofs included.
    cover   : a row name in tables/curve_numbers.csv; soil_group "A" to "D".
    minutes : time of concentration; None unknown.
    frost_m : depth the frost reaches; None unknown. coldest_c : winter minimum; None unknown.
    floor_m : lowest floor of the building, above the datum; None unknown.
    level_m : the ground at the tank above the datum; None unknown.
    """

    area_m2: float | None = None
    cover: str = ""
    soil_group: str = ""
    minutes: float | None = None
    low_spots: tuple[LowSpot, ...] = ()
    frost_m: float | None = None
    coldest_c: float | None = None
    floor_m: float | None = None
    level_m: float | None = None
