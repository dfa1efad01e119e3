"""Water that still runs to the taps without power, past a lamp that does not burn."""

from dataclasses import dataclass

from eavewell.hydraulics.line_network import water_levels
from eavewell.hydraulics.pressure_tank import acceptance
from eavewell.hydraulics.suction import air_head_m
from eavewell.site.line import Line
from eavewell.site.site import Site
from eavewell.site.tank import Tank


@dataclass(frozen=True, slots=True)
class Unlit:
    """Water that runs on: pushed by air, and fallen from the tank; None where unknown."""

    pushed_l: float | None
    fallen_l: float | None

    @property
    def known_l(self) -> float | None:
        """All that is known of it; None where nothing is, or only that some part is none."""
        known_l = (self.pushed_l or 0.0) + (self.fallen_l or 0.0)
        return None if self.is_least and known_l == 0.0 else known_l

    @property
    def is_least(self) -> bool:
        """Whether more may run than is known."""
        return None in (self.pushed_l, self.fallen_l)


def unlit(site: Site, line: Line) -> Unlit:
    """What the pressure tank pushes out and what falls to the lowest tap."""
    tank = {one.name: one for one in site.tanks}.get(line.source)
    if line.pump is None:
        return Unlit(0.0, tank.usable_l) if tank else Unlit(None, None)
    air_m = air_head_m(site.place.elevation_m or 0.0)
    return Unlit(_pushed_l(line, air_m=air_m), _fallen_l(site, line, tank=tank))


def _pushed_l(line: Line, *, air_m: float) -> float | None:
    """All that the air of a pressure tank pushes out, from cut-out down to its pre-charge."""
    tank = line.pressure_tank
    if tank is None:
        return 0.0 if line.control != "switch" else None
    if tank.precharge_m is None or line.cut_out_m is None:
        return None
    level_m, pump_m = tank.level_m, line.pump_m
    above_m = 0.0 if level_m is None or pump_m is None else level_m - pump_m
    air, cut_out_m = tank.precharge_m, line.cut_out_m - above_m
    if cut_out_m <= max(air, 0.0):
        return None
    return tank.size_l * acceptance(air, cut_in_m=air, cut_out_m=cut_out_m, air_m=air_m)


def _fallen_l(site: Site, line: Line, *, tank: Tank | None) -> float | None:
    """What stands in the tank above the lowest tap: it runs through a pump at rest."""
    levels = water_levels(site, line)
    taps_m = [one.level_m for one in line.outlets if one.level_m is not None]
    if tank is None or levels is None or len(taps_m) < len(line.outlets) or not taps_m:
        return None
    shape, base_m, low_m = tank.shape, tank.base_m, max(min(taps_m), levels.low_m)
    if low_m >= levels.full_m:
        return 0.0
    if shape is None or base_m is None:
        return None
    above_l = shape.volume_l(levels.full_m - base_m) - shape.volume_l(low_m - base_m)
    return tank.count * above_l
