"""How far the figures may be off: drawn years, the finishes' range, less rain, worse droughts."""

from dataclasses import dataclass, replace

import numpy as np

from eavewell.site.site import Site
from eavewell.storage.arrangement import arrange, lanes_as_drawn, with_store
from eavewell.storage.drawn import Drawn
from eavewell.storage.ensembles import Ensemble, ensemble, fullest_month
from eavewell.storage.in_service import run_in_service
from eavewell.storage.reliability import Reliability
from eavewell.storage.series import Series, WaterOf, series
from eavewell.storage.sizing import Sizing, size_system, varied_store
from eavewell.storage.worse import Stress, named_drought, outcome, stress
from eavewell.tables import table
from eavewell.weather.days import Days


@dataclass(frozen=True, slots=True, eq=False)
class Doubts:
    """What the record alone cannot tell.

    chosen, smallest : ranges for the system as drawn and at the smallest size found; None where
                  the record is too short or no size was found.
    finish_low, finish_high : supplied share at the edges of the finishes' published range.
    drier_rain  : sizing with the record's rain times `drier_factor`, where no site factor is
                  known; None else.
    stress, drought : the record made worse, and the drought the user names.
    """

    chosen: Ensemble | None
    smallest: Ensemble | None
    finish_low: float
    finish_high: float
    drier_factor: float
    drier_rain: Sizing | None
    stress: Stress
    drought: Reliability | None


def doubts(
    site: Site, days: Days, *, drawn: Drawn, sizing: Sizing, water_of: WaterOf = series
) -> Doubts:
    """Run the system through what might come and what might be wrong.

    water_of : makes the series of any days; `SumpSeries` where sumps are lifted within the day.
    """
    water = water_of(site, days)
    month = fullest_month(drawn.every_day.level_l, water)
    factor = table("stress")["unknown_site_rain"].value
    return Doubts(
        chosen=ensemble(site, water, first_month=month),
        smallest=_at_smallest(site, water, sizing=sizing, month=month),
        finish_low=_supplied(site, water_of(site, days, band="low")),
        finish_high=_supplied(site, water_of(site, days, band="high")),
        drier_factor=factor,
        drier_rain=_drier(site, days, factor=factor, water_of=water_of),
        stress=stress(site, days, water_of=water_of),
        drought=_drought(site, days, drawn=drawn, water_of=water_of),
    )


def _at_smallest(site: Site, water: Series, *, sizing: Sizing, month: int) -> Ensemble | None:
    if sizing.smallest_l is None:
        return None
    size = np.array([sizing.smallest_l])
    lanes = with_store(lanes_as_drawn(site), varied_store(site), usable_l=size)
    return ensemble(site, water, first_month=month, lanes=lanes)


def _supplied(site: Site, water: Series) -> float:
    balance = run_in_service(site, arrange(site, water, lanes=lanes_as_drawn(site)))
    return float(balance.supplied_share[0])


def _drier(site: Site, days: Days, *, factor: float, water_of: WaterOf) -> Sizing | None:
    rain = site.rain
    if rain.site_factor is not None or rain.at_site or rain.climate:
        return None
    melt = None if days.snow_melt_mm is None else days.snow_melt_mm * factor
    drier = replace(days, rain_mm=days.rain_mm * factor, snow_melt_mm=melt)
    return size_system(site, water_of(site, drier))


def _drought(site: Site, days: Days, *, drawn: Drawn, water_of: WaterOf) -> Reliability | None:
    """The named drought, begun at the level usual in its first month."""
    rows = site.rain.drought
    if not rows:
        return None
    month = days.dates.astype("datetime64[M]").astype(int) % 12 + 1
    usual = np.median(drawn.every_day.level_l[month == rows[0].month], axis=0)
    return outcome(site, named_drought(days, rows), start_l=usual, water_of=water_of)
