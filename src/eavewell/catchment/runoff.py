"""Rain on a roof becomes water at the store."""

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from eavewell.catchment.first_flush import first_flush_mm
from eavewell.catchment.snow_catch import not_caught_mm
from eavewell.catchment.wet_runs import taken_per_wet_run_mm
from eavewell.faults import BadSite
from eavewell.site.rain_record import FloatArray
from eavewell.site.roof import Roof
from eavewell.tables import Entry, table

Band = Literal["low", "value", "high"]


@dataclass(frozen=True, slots=True, eq=False)
class RoofWater:
    """Where the rain on a roof went, depth over its plan area, each of shape (day,).

    rain_mm        : rain and melt that came.
    not_caught_mm  : snow that slid or blew off, and all water while the system stood drained.
    initial_mm     : wetting of the roof at the start of each wet run.
    splash_mm      : splash, soaking and small leaks: the share that the finish loses.
    gutter_spill_mm: over the gutter's lip.
    screen_mm      : thrown off with the leaves.
    first_flush_mm : led away with the dirt.
    runoff_mm      : what reaches the store.
    """

    rain_mm: FloatArray
    not_caught_mm: FloatArray
    initial_mm: FloatArray
    splash_mm: FloatArray
    gutter_spill_mm: FloatArray
    screen_mm: FloatArray
    first_flush_mm: FloatArray
    runoff_mm: FloatArray

    @property
    def balance_error_mm(self) -> FloatArray:
        """Rain less all losses less the water at the store, shape (day,)."""
        lost = self.not_caught_mm + self.initial_mm + self.splash_mm
        lost = lost + self.gutter_spill_mm + self.screen_mm + self.first_flush_mm
        return self.rain_mm - lost - self.runoff_mm


def runoff_mm(
    roof: Roof,
    rain_mm: FloatArray,
    *,
    melt_mm: FloatArray | None = None,
    months: NDArray[np.integer] | None = None,
    band: Band = "value",
    gutter_spill_mm: FloatArray | None = None,
) -> FloatArray:
    """Depth over a roof's plan area that reaches its store on each day, shape (day,).

    Arguments as for `roof_water`. Times the plan area in m2 it is litres; walls add nothing.
    """
    return roof_water(
        roof, rain_mm, melt_mm=melt_mm, months=months, band=band, gutter_spill_mm=gutter_spill_mm
    ).runoff_mm


def roof_water(
    roof: Roof,
    rain_mm: FloatArray,
    *,
    melt_mm: FloatArray | None = None,
    months: NDArray[np.integer] | None = None,
    band: Band = "value",
    gutter_spill_mm: FloatArray | None = None,
) -> RoofWater:
    """Follow the rain on a roof to its store, event by event, in the order of flow.

    rain_mm : rain and melt that reach the roof, shape (day,), none below 0.
    melt_mm : the part of rain_mm that is snow melting; None for none.
    months  : 1 to 12 of each day; needed where the roof stands drained in some months.
    band    : "low" for the driest store in the range of the tables, "high" for the wettest.
    gutter_spill_mm : depth that passed over the gutter's lip within the day; None for none.

    A roof is wetted once in each wet run, and is dry again after the dry days of
    tables/catchment.csv; the finish then keeps its share (tables/runoff.csv, initial_loss.csv).
    Screens stand before the first-flush diverter, whose rule is in `first_flush_mm`.
    """
    came = np.asarray(rain_mm, dtype=np.float64)
    missed = not_caught_mm(roof, came, melt_mm=melt_mm, months=months, band=band)
    wet = came - missed
    initial = _initial_mm(roof, wet, band=band)
    shed = (wet - initial) * _at(runoff_share(roof), band)
    spill = np.zeros_like(shed) if gutter_spill_mm is None else np.clip(gutter_spill_mm, 0, shed)
    screened = (shed - spill) * float(np.prod([screen.kept_share for screen in roof.screens]))
    flushed = first_flush_mm(roof, screened)
    return RoofWater(
        rain_mm=came,
        not_caught_mm=missed,
        initial_mm=initial,
        splash_mm=wet - initial - shed,
        gutter_spill_mm=spill,
        screen_mm=shed - spill - screened,
        first_flush_mm=flushed,
        runoff_mm=screened - flushed,
    )


def _initial_mm(roof: Roof, wet_mm: FloatArray, *, band: Band) -> FloatArray:
    # The least water comes with the greatest loss.
    opposite: dict[Band, Band] = {"low": "high", "value": "value", "high": "low"}
    return taken_per_wet_run_mm(
        wet_mm,
        _at(_finish(roof, "initial_loss"), opposite[band]),
        reset_dry_days=int(table("catchment")["days to dry a roof"].value),
    )


def runoff_share(roof: Roof) -> Entry:
    """Share of the rain that a wet roof sheds: as its log found it, else its finish's usual one."""
    usual = _finish(roof, "runoff")
    if roof.sheds is None:
        return usual
    found = roof.sheds
    return replace(usual, value=found.share, low=found.low, high=found.high)


def _finish(roof: Roof, subject: str) -> Entry:
    known = table(subject)
    if roof.finish not in known:
        names = ", ".join(known)
        raise BadSite(f"roof {roof.name!r}: finish {roof.finish!r} is not known; known: {names}.")
    return known[roof.finish]


def _at(entry: Entry, band: Band) -> float:
    return {"low": entry.low, "value": entry.value, "high": entry.high}[band]
