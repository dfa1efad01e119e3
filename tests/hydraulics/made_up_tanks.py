"""Made-up tanks with everything fitted; invented."""

from dataclasses import replace

from eavewell.site.pipe import Pipe
from eavewell.site.tank import Tank
from eavewell.site.tank_fittings import Link, Overflow, TankFittings
from eavewell.site.tank_shape import UprightCylinder
from eavewell.weather.design_storm import Intensity

# one tank 2 m across and high, its 100 mm overflow 0.3 m under the rim
OVERFLOW = Overflow(
    Pipe(100.0, 4.0), screened=True, air_break_m=0.1, away_m=5.0, end_m=0.3, fall=0.1
)
LINK = Link(Pipe(100.0, 0.5), 0.1, valves=True, flexible=True)
FITTINGS = TankFittings(
    inlet_m=1.8,
    inlet_mm=100.0,
    overflow=OVERFLOW,
    vent_mm=100.0,
    drain_mm=40.0,
    sight_tube=True,
    translucent=False,
)
TANK = Tank(
    "tank",
    shape=UprightCylinder(2.0, 2.0),
    base_m=0.0,
    outlet_m=0.1,
    overflow_m=1.7,
    overflow_to="swale",
    fittings=FITTINGS,
)
ROW = replace(TANK, count=2, fittings=replace(FITTINGS, link=LINK, bases_m=(0.0, 0.0)))


class Storms:
    """Every storm brings the same rain."""

    def __init__(self, mm_h=90.0):
        self.mm_h = mm_h

    def intensity(self, minutes, years):
        if self.mm_h is None:
            return None
        return Intensity(self.mm_h, self.mm_h, self.mm_h, minutes, years, "invented")


def fitted(tank, **fields):
    """The tank with other fittings."""
    return replace(tank, fittings=replace(tank.fittings, **fields))


def spilling(tank, **fields):
    """The tank with another overflow."""
    return fitted(tank, overflow=replace(tank.fittings.overflow, **fields))
