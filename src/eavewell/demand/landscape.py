"""Plants: a daily balance of the water in their root zone says when they are watered."""

from dataclasses import dataclass

import numpy as np

from eavewell.demand.calendar import BoolArray, present
from eavewell.site.rain_record import FloatArray
from eavewell.site.want import Plants
from eavewell.tables import table
from eavewell.weather.days import Days


@dataclass(frozen=True, slots=True, eq=False)
class RootZone:
    """The root zone day by day; every array has shape (day,).

    irrigation_l      : water drawn for the whole area, losses on the way included.
    irrigation_mm     : what of it reaches the root zone.
    effective_rain_mm : rain that enters the soil.
    used_mm           : water the plants use.
    drained_mm        : water that goes below the roots.
    depletion_mm      : water missing from field capacity at the end of the day.
    """

    irrigation_l: FloatArray
    irrigation_mm: FloatArray
    effective_rain_mm: FloatArray
    used_mm: FloatArray
    drained_mm: FloatArray
    depletion_mm: FloatArray

    @property
    def balance_error_mm(self) -> float:
        """Water in less water out less water kept, from field capacity on the first morning."""
        came = self.effective_rain_mm.sum() + self.irrigation_mm.sum()
        went = self.used_mm.sum() + self.drained_mm.sum()
        end_mm = self.depletion_mm[-1] if self.depletion_mm.size else 0.0
        return float(came - went + end_mm)


def plants_l(want: Plants, days: Days) -> FloatArray:
    """Water drawn for a planted area on each day, shape (day,)."""
    return root_zone_fao56(want, days).irrigation_l


def root_zone_fao56(want: Plants, days: Days) -> RootZone:
    """Daily root-zone balance of FAO Irrigation and Drainage Paper 56, chapter 8.

    Starts at field capacity. Rain comes first, then water is given: on a day of the calendar
    whose rain does not cover its use, once the depletion reaches the allowed share, and back to
    field capacity. Below the allowed share plants use less (eq. 84). What the tank can give is
    not asked: this is the planned want. No run-off, no rise from groundwater. Daily rain below
    0.2 of ET0 evaporates and does not count. Source fao56_memory, chapter 8, eq. 84, 85, 88.
    """
    wets = days.rain_mm >= table("root_zone")["evaporated rain"].value * days.et0_mm
    rain_mm = np.where(wets, days.rain_mm, 0.0)
    need_mm = want.plant_factor * days.et0_mm
    may_water = present(want.calendar, days.dates) & ((rain_mm == 0.0) | (rain_mm < need_mm))
    run = _run(_Soil.of(want), rain_mm, need_mm=need_mm, may_water=may_water)
    irrigation_l = run[0] / want.efficiency * want.area_m2
    return RootZone(irrigation_l, run[0], rain_mm, run[1], run[2], run[3])


@dataclass(frozen=True, slots=True)
class _Soil:
    holds_mm: float
    easy_mm: float

    @classmethod
    def of(cls, want: Plants) -> "_Soil":
        holds_mm = want.soil_water_mm_m * want.root_m
        return cls(holds_mm, holds_mm * want.depletion_share)


def _run(
    soil: _Soil, rain_mm: FloatArray, *, need_mm: FloatArray, may_water: BoolArray
) -> list[FloatArray]:
    # Plain floats: the balance is sequential, and numpy scalars would be ten times slower.
    holds, easy, depletion = soil.holds_mm, soil.easy_mm, 0.0
    hard = (holds - easy) or 1.0
    given, used, drained, depleted = [], [], [], []
    for rain, need, may in zip(rain_mm.tolist(), need_mm.tolist(), may_water.tolist(), strict=True):
        short = depletion - rain if depletion > rain else 0.0
        water = short if may and short >= easy else 0.0
        short -= water
        use = need if short <= easy else need * (holds - short) / hard
        use = min(use, holds - short)
        depletion += use - rain - water
        drained.append(-depletion if depletion < 0.0 else 0.0)
        depletion = depletion if depletion > 0.0 else 0.0
        given.append(water)
        used.append(use)
        depleted.append(depletion)
    return [np.array(series, dtype=np.float64) for series in (given, used, drained, depleted)]
