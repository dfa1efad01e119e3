"""What comes from each roof and what each use wants, on every day."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from eavewell.catchment.runoff import Band, runoff_mm
from eavewell.demand.daily import demand_l
from eavewell.site.rain_record import DayArray, FloatArray
from eavewell.site.roof import Roof
from eavewell.site.site import Site
from eavewell.site.use import Use
from eavewell.weather.days import Days


@dataclass(frozen=True, slots=True, eq=False)
class Series:
    """The days a balance runs through, all on one calendar.

    runoff_mm [day, roof] of the roofs that drain to a store; demand_l [day, use] in the order
    of service; open_loss_mm [day] is the evaporation of open water.
    """

    dates: DayArray
    runoff_mm: FloatArray
    demand_l: FloatArray
    open_loss_mm: FloatArray

    @property
    def days(self) -> int:
        """Number of days."""
        return int(self.dates.size)

    def rows(self, first: int, last: int) -> "Series":
        """The days from row `first` up to, not including, row `last`."""
        part = slice(first, last)
        return Series(
            self.dates[part], self.runoff_mm[part], self.demand_l[part], self.open_loss_mm[part]
        )


WaterOf = Callable[..., Series]  # called as `series` is


def series(
    site: Site, days: Days, *, band: Band = "value", wants: Sequence[FloatArray] | None = None
) -> Series:
    """Runoff of each drained roof and demand of each use over the days.

    band  : "low" or "high" takes the edge of the finishes' published range.
    wants : demand of each use in the order of service, where it is known already.
    """
    months = days.dates.astype("datetime64[M]").astype(int) % 12 + 1
    runoff = [
        runoff_mm(roof, days.rain_mm, melt_mm=days.snow_melt_mm, months=months, band=band)
        for roof in drained_roofs(site)
    ]
    if wants is None:
        wants = [demand_l(use, days) for use in uses_in_order(site)]
    return Series(days.dates, _columns(runoff, days), _columns(wants, days), days.et0_mm)


def drained_roofs(site: Site) -> tuple[Roof, ...]:
    """The roofs whose water reaches a store, in file order."""
    return tuple(roof for roof in site.roofs if roof.drains_to)


def uses_in_order(site: Site) -> tuple[Use, ...]:
    """The uses by priority, then in file order: the order in which they draw."""
    return tuple(sorted(site.uses, key=lambda use: use.priority))


def _columns(arrays: Sequence[FloatArray], days: Days) -> FloatArray:
    if not arrays:
        return np.zeros((days.count, 0))
    return np.ascontiguousarray(np.stack(arrays, axis=1))
