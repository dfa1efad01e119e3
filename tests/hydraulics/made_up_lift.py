"""A made-up barn of 5,000 ft2 that drains to a sump, lifted into a tank above ground."""

from dataclasses import replace
from types import SimpleNamespace

from eavewell.files.site.generic_pumps import generic_pump
from eavewell.hydraulics.lift import lift_duty
from eavewell.site.ground import Ground
from eavewell.site.lift import Lift
from eavewell.site.pipe import Pipe
from eavewell.site.tank import Tank
from eavewell.site.tank_fittings import Overflow, TankFittings
from eavewell.site.tank_shape import Box, UprightCylinder

FT, FT2, IN = 0.3048, 0.3048**2, 25.4
RISER = Pipe(52.5, 10.0, fittings=(("check valve", 1), ("exit", 1)))
SPILLWAY = Overflow(pipe=Pipe(150.0, 5.0))


class MadeUpStorms:
    """The same rain of any length; None where nothing is known."""

    def __init__(self, mm_h):
        self.mm_h = mm_h

    def intensity(self, minutes, years):
        return None if self.mm_h is None else SimpleNamespace(mm_h=self.mm_h)


def sump(**fields):
    """A pit of 1 m2 and 1.5 m: floor at -1.6, spills at -0.5, the rim at -0.1 m."""
    fields = {
        "shape": Box(1.0, 1.0, 1.5),
        "base_m": -1.6,
        "overflow_m": 1.1,
        "is_sump": True,
        "fittings": TankFittings(overflow=SPILLWAY),
    } | fields
    return Tank("pit", **fields)


def lift(**fields):
    """Stops at 0.2, starts at 0.6 m above the floor; everything fitted."""
    fields = {
        "pump": generic_pump("1/2 hp sump"),
        "riser": RISER,
        "let_go_m": 2.4,
        "stop_m": 0.2,
        "start_m": 0.6,
        "check_valve": True,
        "weep_hole": False,
        "full_float": True,
        "alarm": True,
        "second_pump": True,
        "solids_mm": 5.0,
    } | fields
    return Lift("up", "pit", "tank", **fields)


def barn(making, **fields):
    """The whole site: `pit` and `up` in place of its sump and its lift, other fields as given."""
    pit, up = fields.pop("pit", sump()), fields.pop("up", lift())
    tall = Tank("tank", shape=UprightCylinder(4.0, 3.0), base_m=-0.5, overflow_m=2.8)
    site = making.site(
        roofs=(making.roof(fields.pop("roof_m2", 5000 * FT2), "pit", "barn"),),
        tanks=(tall, pit),
        lifts=(up,),
    )
    ground = Ground(floor_m=0.1, coldest_c=5.0)
    return replace(site, **({"ground": ground} | fields))


def lifted(site, mm_h=40.0):
    """All lifts of a site under a storm."""
    return lift_duty(site, MadeUpStorms(mm_h), years=100, minutes=5)


def duty(site, mm_h=40.0):
    """Its one lift."""
    (only,) = lifted(site, mm_h).lifts
    return only
