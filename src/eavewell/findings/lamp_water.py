"""Whether the water that a lamp shines into lets its light through and leaves its sleeve clean."""

from collections.abc import Iterator

from eavewell.site.barrier import Lamp
from eavewell.site.finding import HEALTH_DECIDES, Finding
from eavewell.site.place import Show
from eavewell.site.water import Water
from eavewell.tables import sources, table
from eavewell.treatment.credit import LampWorks
from eavewell.units import show

_SHADES = "it shades what the light should reach"
_COATS = "it coats the sleeve of the lamp"


def lamp_sees(lamp: LampWorks, water: Water, *, system: Show) -> Iterator[Finding]:
    """Checks of the measured water against what a house lamp takes; nothing where unmeasured."""
    measures = (
        ("turbidity", water.turbidity_ntu, "turbidity", _SHADES),
        ("iron", water.iron_mg_l, "concentration", _COATS),
        ("hardness", water.hardness_mg_l, "concentration", _COATS),
    )
    for name, measured, quantity, does in measures:
        row = table("barriers")[f"{name} at a lamp"]
        if measured is not None and measured > row.value:
            most = show(row.value, quantity, system=system)
            yield Finding(
                "lamp-water-too-dirty",
                "watch",
                f"lamp {lamp.thing.name!r}",
                f"The {name} of the water is {show(measured, quantity, system=system)}: {does}. "
                f"{HEALTH_DECIDES}",
                measured=measured,
                limit=row.value,
                unit=row.unit,
                source=sources()[row.source]["title"],
                fix=f"{name} of at most {most} before the lamp, by a filter or softener for it",
            )
    yield from _too_dark(lamp, water)


def _too_dark(lamp: LampWorks, water: Water) -> Iterator[Finding]:
    """Where the lamp's document names no transmittance of its own."""
    works, row = lamp.thing.works, table("barriers")["transmittance"]
    told = isinstance(works, Lamp) and works.validated_transmittance is not None
    if told or water.transmittance is None or water.transmittance >= row.value - 1e-9:
        return
    yield Finding(
        "lamp-water-too-dark",
        "watch",
        f"lamp {lamp.thing.name!r}",
        f"The water lets {water.transmittance:.0%} of the light at 254 nm through; house lamps "
        f"want {row.value:.0%}. {HEALTH_DECIDES}",
        measured=water.transmittance,
        limit=row.value,
        unit="share",
        source=sources()[row.source]["title"],
        fix="leaves kept out of tank and gutters, carbon before the lamp, and a new measurement",
    )
