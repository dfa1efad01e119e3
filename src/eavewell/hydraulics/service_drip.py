"""What the plants of a drip line get where a pump feeds it."""

from collections.abc import Iterator
from dataclasses import dataclass

from eavewell.hydraulics.drip import Watered, watered
from eavewell.hydraulics.line_network import WaterLevels
from eavewell.hydraulics.service_outlets import least_of, most_of, within_reach
from eavewell.site.line import Line
from eavewell.site.outlet import Lateral


@dataclass(frozen=True, slots=True)
class ServedLateral:
    """A lateral alone on its pumped line.

    least : at cut-in with the tank low and dirty filters. most : at cut-out, the tank full and
    clean filters. hours : to give the plant that gets least its peak day's water at the least
    pressure; None unknown or never.
    """

    lateral: Lateral
    least: Watered
    most: Watered
    hours: float | None


def served_laterals(line: Line, levels: WaterLevels) -> Iterator[ServedLateral]:
    """Every lateral of a known level that the pump reaches."""
    most_line, most_m = most_of(line, levels)
    for lateral in line.laterals:
        if not within_reach(line, lateral.level_m, water_m=levels.low_m):
            continue
        least = watered(least_of(line, levels), lateral, water_m=levels.low_m, dirty=True)
        most = watered(most_line, lateral, water_m=most_m)
        least_l_h, wants = min(least.plant_l_h), lateral.plant_l_day
        hours = wants / least_l_h if wants is not None and least_l_h > 0.0 else None
        yield ServedLateral(lateral, least, most, hours)
