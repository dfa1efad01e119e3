"""What is known of the stored water, from its part of the site file."""

from eavewell.files.site.parts import Part
from eavewell.site.water import Water


def water_of(part: Part | None) -> Water:
    """The water; nothing known where the file has none."""
    if part is None:
        return Water()
    coldest, warmest = part["coldest"], part["warmest"]
    if coldest is not None and warmest is not None and coldest > warmest:
        part.fault("coldest is above warmest.", "coldest")
    return Water(
        ph=part["ph"],
        coldest_c=coldest,
        warmest_c=warmest,
        transmittance=part["transmittance"],
        turbidity_ntu=part["turbidity"],
        iron_mg_l=part["iron"],
        hardness_mg_l=part["hardness"],
    )
