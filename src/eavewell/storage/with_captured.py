"""The daily engine's share of a sump: captured water in its tank, overtopped water counted."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from eavewell.catchment.runoff import Band
from eavewell.site.rain_record import DayArray, FloatArray
from eavewell.site.roof import Plane, Roof
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.storage.series import Series, drained_roofs, series
from eavewell.storage.within_day import Captured, RainWithinDay, SumpLift, capture
from eavewell.weather.days import Days

# So small that it changes no sum of roof areas.
OVERTOPPED_M2 = 1e-6


def overtopped_name(sump: str) -> str:
    """Name of the roof that stands for what runs over a sump's spillway."""
    return f"{sump} overtopped"


@dataclass(frozen=True, slots=True, eq=False)
class SumpSeries:
    """The days of a site whose sumps are lifted within the day; stands in for `series`.

    site : as it is described. dates : of the record whose days `within` shapes.
    """

    site: Site
    dates: DayArray
    within: RainWithinDay
    lifts: tuple[SumpLift, ...]

    def __call__(self, moved: Site, days: Days, *, band: Band = "value") -> Series:
        """Runoff, captured by every sump, and demand over any days; `moved` must come from here.

        Days that are not the record's take the shape of its wet day of the nearest depth.
        """
        water = series(replace(self.site, uses=moved.uses), days, band=band)
        same = np.array_equal(days.dates, self.dates)
        within = self.within if same else shaped_by_depth(self.within, days.rain_mm)
        captured = capture(self.site, water, within=within, lifts=self.lifts)
        return with_captured(self.site, water, captured=captured)[1]


@dataclass(frozen=True, slots=True, eq=False)
class Shaped:
    """Rain of some wet days in steps."""

    rows: NDArray[np.int64]
    steps_mm: NDArray[np.float32]


def shaped_by_depth(within: RainWithinDay, rain_mm: FloatArray) -> Shaped:
    """Other days' rain in the shape of the wet day of the nearest depth."""
    steps_mm = np.asarray(within.steps_mm, dtype=np.float32)
    depths = steps_mm.sum(axis=1)
    order = np.argsort(depths, kind="stable")
    rows = np.flatnonzero(rain_mm > 0.0) if depths.size else np.zeros(0, dtype=np.int64)
    middles = (depths[order][1:] + depths[order][:-1]) / 2.0
    return Shaped(rows, steps_mm[order[np.searchsorted(middles, rain_mm[rows])]])


def with_captured(
    site: Site, water: Series, *, captured: Iterable[Captured]
) -> tuple[Site, Series]:
    """The site and its days with every sump of `captured` moved as its lift moves it.

    The sump's roofs bring what was captured to the lift's target, by area; a roof of no size
    brings what overtopped to the sump, which holds nothing and spills it at once, so that the
    closing balance counts it where it happens. A full target spills what the lift would bring:
    the pump stands on its float and the sump spills in its place. What stands in the sump at the
    end of the record (less than one sump) is in neither.

    Other roof areas scale the captured water too: right near the area as drawn, too much for a
    larger roof, too little for a smaller one.
    """
    for one in captured:
        site, water = _moved(site, water, one=one)
    return site, water


def _moved(site: Site, water: Series, *, one: Captured) -> tuple[Site, Series]:
    lift = one.lift
    feeding = [roof.name for roof in site.roofs if roof.drains_to == lift.sump]
    runoff_mm = water.runoff_mm.copy()
    mine = np.array([roof.name in feeding for roof in drained_roofs(site)])
    area_m2 = sum(roof.plan_area_m2 for roof in site.roofs if roof.name in feeding)
    if feeding:
        runoff_mm[:, mine] = (one.captured_l / area_m2)[:, None]
    roofs = tuple(
        replace(roof, drains_to=lift.target) if roof.name in feeding else roof
        for roof in site.roofs
    )
    moved = replace(
        site,
        roofs=(*roofs, _overtopped(lift.sump)),
        tanks=tuple(_emptied(tank) if tank.name == lift.sump else tank for tank in site.tanks),
        lifts=tuple(other for other in site.lifts if other.name != lift.lift),
    )
    return moved, replace(water, runoff_mm=_beside(runoff_mm, one.overtopped_l))


def _beside(runoff_mm: FloatArray, overtopped_l: FloatArray) -> FloatArray:
    return np.ascontiguousarray(np.column_stack([runoff_mm, overtopped_l / OVERTOPPED_M2]))


def _overtopped(sump: str) -> Roof:
    planes = (Plane("spillway", OVERTOPPED_M2),)
    return Roof(overtopped_name(sump), planes, "metal", drains_to=sump)


def _emptied(tank: Tank) -> Tank:
    """A sump that passes on what comes."""
    return replace(
        tank,
        count=1,
        stated_l=0.0,
        shape=None,
        outlet_m=None,
        overflow_m=None,
        dead_l=0.0,
        start_share=0.0,
        open_area_m2=0.0,
    )


def refused_l(captured: Captured, target_spilled_l: FloatArray) -> FloatArray:
    """Captured water that a full target had no room for, on every day: the sump spills it."""
    refused: FloatArray = np.minimum(captured.captured_l, target_spilled_l)
    return refused
