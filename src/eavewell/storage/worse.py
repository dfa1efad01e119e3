"""Worse than the record: less rain, more use, and a drought that the user names."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from eavewell.faults import BadRecord
from eavewell.site.rain import DroughtRow
from eavewell.site.rain_record import DayArray, FloatArray
from eavewell.site.site import Site
from eavewell.storage.arrangement import arrange, lanes_as_drawn
from eavewell.storage.balance import run
from eavewell.storage.in_service import run_in_service
from eavewell.storage.reliability import Reliability, reliability
from eavewell.storage.series import WaterOf, series, uses_in_order
from eavewell.tables import table
from eavewell.weather.days import Days
from eavewell.weather.synthetic import stressed

RowArray = NDArray[np.int64]
SHORTEST_MONTH = 28


@dataclass(frozen=True, slots=True)
class Stress:
    """The whole record again with less rain, fewer wet days and more use."""

    depth_factor: float
    wet_day_factor: float
    use_factor: float
    outcome: Reliability


def stress(site: Site, days: Days, *, seed: int = 1, water_of: WaterOf = series) -> Stress:
    """Run the record with the drier rain and higher use of tables/stress.csv."""
    depth, wet, use = (table("stress")[name].value for name in ("depth", "wet_days", "use"))
    rain = stressed(days.rain_mm, days.dates, depth_factor=depth, wet_day_factor=wet, seed=seed)
    melt = None
    if days.snow_melt_mm is not None:
        melt = np.minimum(days.snow_melt_mm, rain)
    drier = replace(days, rain_mm=rain, snow_melt_mm=melt)
    return Stress(depth, wet, use, outcome(site, drier, use_factor=use, water_of=water_of))


def outcome(
    site: Site,
    days: Days,
    *,
    use_factor: float = 1.0,
    start_l: FloatArray | None = None,
    water_of: WaterOf = series,
) -> Reliability:
    """Reliability of the site as drawn over other days than the record's.

    start_l : level of every store on the first day, shape (store,); None runs the system as one
              already in service.
    water_of : makes the days' series; `SumpSeries` where sumps are lifted within the day.
    """
    what, lanes = water_of(site, days), lanes_as_drawn(site)
    lanes = replace(lanes, scale=lanes.scale * use_factor)
    arrangement = arrange(site, what, lanes=lanes)
    if start_l is None:
        balance = run_in_service(site, arrangement, keep_lane=0)
    else:
        balance = run(arrangement._replace(start_l=start_l[:, None]), keep_lane=0)
    return reliability(balance, what, names=tuple(use.name for use in uses_in_order(site)))


def named_drought(days: Days, drought: tuple[DroughtRow, ...]) -> Days:
    """Daily weather of a drought given by months, from days of the record's own months.

    Every month takes its days from the same calendar month whose rain is nearest to the wanted
    depth and not nothing (from any month where that one never had rain), scaled to that depth;
    temperature and evaporation come along.
    """
    months = days.dates.astype("datetime64[M]").astype(int)
    first = np.datetime64(f"2001-{drought[0].month:02d}", "M")
    starts = (first + np.arange(len(drought) + 1)).astype("datetime64[D]")
    lengths = np.diff(starts).astype(int)
    rows, factors = [], []
    for row, length in zip(drought, lengths, strict=True):
        donor = _donor(days.rain_mm, months, row=row, length=int(length))
        total = float(days.rain_mm[donor].sum())
        rows.append(donor)
        factors.append(np.full(length, row.rain_mm / total if total > 0.0 else 0.0))
    dates = starts[0] + np.arange(int(lengths.sum()))
    return _picked(days, np.concatenate(rows), dates=dates, factor=np.concatenate(factors))


def _donor(
    rain_mm: FloatArray, months: NDArray[np.int64], *, row: DroughtRow, length: int
) -> RowArray:
    """The rows of the nearest month, `length` days of it."""
    every, counts = np.unique(months, return_counts=True)
    every = every[counts >= SHORTEST_MONTH]
    for candidates in (every[every % 12 + 1 == row.month], every):
        found = [_days_of(months, month, length=length) for month in candidates]
        totals = [float(rain_mm[at].sum()) for at in found]
        fit = [k for k, total in enumerate(totals) if total > 0.0 or row.rain_mm == 0.0]
        if fit:
            return found[min(fit, key=lambda k: abs(totals[k] - row.rain_mm))]
    raise BadRecord("the record has no rain from which to make the named drought.")


def _days_of(months: NDArray[np.int64], month: int, *, length: int) -> RowArray:
    """Rows of one month; its last day stands again where it is too short, as a February is."""
    first, after = np.searchsorted(months, (month, month + 1))
    rows: RowArray = np.minimum(first + np.arange(length), after - 1)
    return rows


def _picked(days: Days, at: RowArray, *, dates: DayArray, factor: FloatArray) -> Days:
    def taken(values: FloatArray | None) -> FloatArray | None:
        return None if values is None else values[at]

    melt = taken(days.snow_melt_mm)
    return Days(
        dates=dates,
        rain_mm=days.rain_mm[at] * factor,
        et0_mm=days.et0_mm[at],
        tmax_c=taken(days.tmax_c),
        tmin_c=taken(days.tmin_c),
        snow_melt_mm=None if melt is None else melt * factor,
    )
