"""The ground around the building and its storms, from their parts of the site file."""

from eavewell.files.site.parts import Part
from eavewell.site.ground import Ground, LowSpot
from eavewell.site.storm import Storm


def storm_of(part: Part | None) -> Storm:
    """Where the design storms come from; nothing known where the file has none."""
    if part is None:
        return Storm()
    if part["table"] and part["city"]:
        part.fault("both table and city are given: keep the table.", "city")
    return Storm(
        table=part["table"] or "",
        city=part["city"] or "",
        donor=part["donor"] or "",
        donor_name=part["donor_name"] or "",
        donor_km=part["donor_distance"],
        donor_climate=part["donor_climate"] or "",
        manure=bool(part["manure"]),
        rules=part["rules"] or "",
    )


def ground_of(part: Part | None) -> Ground:
    """The ground; nothing known where the file has none."""
    if part is None:
        return Ground()
    return Ground(
        area_m2=part["area"],
        cover=part["cover"] or "",
        soil_group=part["soil_group"] or "",
        minutes=part["concentration"],
        low_spots=tuple(
            LowSpot(
                spot["name"] or "",
                spot["area"] or 1.0,
                spot["infiltration"],
                spot["receives"] or (),
            )
            for spot in part["low_spots"]
        ),
        frost_m=part["frost"],
        coldest_c=part["coldest"],
        floor_m=part["floor"],
        level_m=part["level"],
    )
