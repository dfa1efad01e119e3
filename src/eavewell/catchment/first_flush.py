"""The dirty start of each rain, led away from the store."""

import numpy as np

from eavewell.catchment.wet_runs import taken_per_wet_run_mm
from eavewell.faults import BadSite
from eavewell.site.first_flush import FirstFlush
from eavewell.site.rain_record import FloatArray
from eavewell.site.roof import Roof
from eavewell.tables import table


def first_flush_mm(roof: Roof, water_mm: FloatArray) -> FloatArray:
    """Depth over the plan area that a roof's diverter leads away on each day, shape (day,).

    water_mm : depth that comes to the diverter, shape (day,).

    Rule on a daily record: the diverter takes its volume once from each wet run, and is empty
    again after its reset_dry_days without water; one that is part full keeps what it has. A
    drain that always bleeds also loses its flow for the hours of rain: the day's depth over the
    rain rate of tables/catchment.csv, at most 24 h.
    """
    diverter = roof.first_flush
    if diverter is None:
        return np.zeros_like(water_mm)
    held = taken_per_wet_run_mm(
        water_mm, _holds_mm(diverter, roof), reset_dry_days=diverter.reset_dry_days
    )
    if diverter.bleed_l_h == 0.0:
        return held
    hours = np.minimum(water_mm / table("catchment")["rain rate"].value, 24.0)
    bled = diverter.bleed_l_h / roof.plan_area_m2 * hours
    return np.minimum(held + bled, water_mm)


def _holds_mm(diverter: FirstFlush, roof: Roof) -> float:
    if (diverter.depth_mm is None) == (diverter.volume_l is None):
        raise BadSite(f"roof {roof.name!r}: give its first flush a depth or a volume, not both.")
    if diverter.depth_mm is not None:
        return diverter.depth_mm
    if roof.plan_area_m2 <= 0.0:
        raise BadSite(f"roof {roof.name!r}: a first flush by volume needs the roof's plan area.")
    return (diverter.volume_l or 0.0) / roof.plan_area_m2


def first_flush_rules(roofs: tuple[Roof, ...]) -> tuple[str, ...]:
    """How a day's record is taken to empty and fill each diverter, in sentences."""
    return tuple(
        f"Roof {roof.name!r}: the first flush takes its volume once in each wet run and is empty "
        f"again after {roof.first_flush.reset_dry_days} days without water."
        for roof in roofs
        if roof.first_flush is not None
    )
