"""Made-up pipes from a roof to a tank, for arithmetic on paper; everything here is invented."""

import sys
from dataclasses import replace
from types import SimpleNamespace

from eavewell.hydraulics.conveyance import convey
from eavewell.site.ground import Ground
from eavewell.site.pipe import Pipe, PipeRun
from eavewell.site.screen import Screen
from eavewell.site.tank_shape import UprightCylinder

FT, IN = 0.3048, 25.4
FOUR_INCH = Pipe(4 * IN, 30.0)
STORM = (5.0, 10.0)
SCREEN = Screen("leaf", 0.98)


class OneStorm:
    """One rain whatever is asked; twice the rain is ten times as rare."""

    def __init__(self, mm_h=100.0):
        self.mm_h = mm_h

    def intensity(self, minutes, years):
        return SimpleNamespace(mm_h=self.mm_h) if self.mm_h else None

    def years_of(self, minutes, mm_h):
        return 10.0 * mm_h / self.mm_h if self.mm_h else None


def dry(name="pipe", **fields):
    """Four inches, 30 m, one in fifty, from 3.6 m down to 3.0 m."""
    fields = {"carries": ("roof",), "to": "tank", "pipe": FOUR_INCH} | fields
    if "fall" not in fields:
        fields = {"from_m": 3.6, "to_m": 3.0} | fields
    return PipeRun(name, **fields)


def wet(name="pipe", **fields):
    """Four inches, 30 m, held full, drained, vented and deep, letting go at 3 m."""
    usual = {
        "carries": ("roof",),
        "to": "tank",
        "pipe": FOUR_INCH,
        "to_m": 3.0,
        "low_m": -0.5,
        "drain_mm": 100.0,
        "cover_m": 0.6,
        "vented": True,
    }
    return PipeRun(name, held_full=True, **(usual | fields))


def roof(name="roof", area_m2=100.0, eave_m=4.0, **fields):
    making = sys.modules["making"]
    fields = {"screens": (SCREEN,)} | fields
    return replace(making.roof(area_m2=area_m2, name=name), eave_m=eave_m, **fields)


def tank(**fields):
    """A tank of 2.5 m on the datum."""
    making = sys.modules["making"]
    return making.tank(**({"shape": UprightCylinder(3.0, 2.5), "base_m": 0.0} | fields))


def site(*runs, roofs=None, tanks=None, **fields):
    making = sys.modules["making"]
    fields = {"ground": Ground(coldest_c=-10.0, frost_m=0.5, level_m=-1.0)} | fields
    return making.site(
        roofs=(roof(),) if roofs is None else roofs,
        tanks=(tank(),) if tanks is None else tanks,
        runs=runs,
        **fields,
    )


def conveyed(whole, mm_h=100.0, **fields):
    return convey(whole, OneStorm(mm_h), storm=STORM, **fields)


def wet_main_of(pipe, *, area_m2, opening_m, end_m, mm_h=100.0):
    whole = site(wet(pipe=pipe, opening_m=opening_m, to_m=end_m), roofs=(roof(area_m2=area_m2),))
    return conveyed(whole, mm_h).mains[0]
