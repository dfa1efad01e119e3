"""Every tank of a site screened: bearing, wind, uplift, stand, and what often asks for a permit."""

from dataclasses import dataclass

from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.structure.bearing import Bearing, bearing
from eavewell.structure.stand import Stand, stand_of
from eavewell.structure.uplift import Uplift, uplift
from eavewell.structure.wind import Wind, wind_on


@dataclass(frozen=True, slots=True)
class Carried:
    """One tank or sump: each part None where it does not apply or nothing of it is described."""

    tank: Tank
    bearing: Bearing | None
    wind: Wind | None
    uplift: Uplift | None
    stand: Stand | None


def carry(site: Site) -> tuple[Carried, ...]:
    """Screen every tank and sump of a site.

    Raises OutOfRange for a soil or a base that the tables do not know.
    """
    return tuple(
        Carried(tank, bearing(tank), wind_on(tank), uplift(tank), stand_of(tank))
        for tank in site.tanks
    )
