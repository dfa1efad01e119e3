"""Where a site stands and which rain it is designed on, from their parts."""

from itertools import pairwise

from eavewell.files.site.parts import Part
from eavewell.site.place import Place
from eavewell.site.rain import DroughtRow, Rain

_LONGEST_DROUGHT = 36


def place_of(part: Part | None) -> Place:
    """The place, unknown where the file has none."""
    if part is None:
        return Place()
    return Place(
        latitude=part["latitude"],
        longitude=part["longitude"],
        elevation_m=part["elevation"],
        show=part["show"] or "us",
    )


def rain_of(part: Part | None) -> Rain:
    """The rain, with faults where it is not one record or its factor cannot stand."""
    if part is None:
        return Rain()
    part.one_of("record", "station", "climate")
    _check_factor(part)
    return Rain(
        record=part["record"] or "",
        station=part["station"] or "",
        climate=part["climate"] or "",
        neighbour=part["neighbour"] or "",
        at_site=bool(part["at_site"]),
        site_factor=part["site_factor"],
        factor_from=part["factor_from"] or "",
        distance_km=part["distance"],
        height_m=part["height"],
        drought=_drought(part),
        unit=part["unit"] or "",
    )


def _check_factor(part: Part) -> None:
    if "site_factor" in part.given and part["at_site"]:
        part.fault(
            "at_site says the gauge stands at the site: take site_factor out.", "site_factor"
        )
    elif "site_factor" in part.given and "factor_from" not in part.given:
        part.fault(
            "site_factor needs factor_from: name the two long-term normals it comes from.",
            "site_factor",
        )


def _drought(part: Part) -> tuple[DroughtRow, ...]:
    months: tuple[Part, ...] = part["drought"]
    if months and not 12 <= len(months) <= _LONGEST_DROUGHT:
        part.fault(
            f"the drought has {len(months)} months: name 12 to {_LONGEST_DROUGHT}.", "drought"
        )
    for one, other in pairwise(months):
        if one["month"] and other["month"] and other["month"] != one["month"] % 12 + 1:
            part.fault(f"month {other['month']} cannot follow month {one['month']}.", "drought")
    return tuple(DroughtRow(month["month"] or 1, month["rain"] or 0.0) for month in months)
