"""The standpipe of a first flush: how long it is, how fast it empties, what it takes in a year."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from eavewell.catchment.first_flush import first_flush_mm
from eavewell.catchment.wet_runs import wet_run_mm
from eavewell.faults import OutOfRange
from eavewell.hydraulics.friction import GRAVITY_M_S2
from eavewell.hydraulics.standard_sizes import standard_bores
from eavewell.site.first_flush import FirstFlush
from eavewell.site.rain_record import FloatArray
from eavewell.site.roof import Roof
from eavewell.site.site import Site
from eavewell.tables import table

_DAYS_PER_YEAR = 365.25


@dataclass(frozen=True, slots=True)
class FlushLoss:
    """What a first flush takes of a record.

    came_l_year : water that reaches it in a mean year. most_mm : the largest depth that keeps
    its loss within the share of tables/conveyance.csv.
    """

    lost_l_year: float
    came_l_year: float
    most_mm: float

    @property
    def share(self) -> float:
        """Part of what comes that is led away."""
        return self.lost_l_year / self.came_l_year if self.came_l_year > 0.0 else 0.0


@dataclass(frozen=True, slots=True)
class FlushPipe:
    """The first flush of one roof.

    volume_l, depth_mm : what it takes from each rain.
    length_m  : of a standpipe of its bore; None where the bore is unknown.
    empties_h : time to drain after the rain; None where its drain is unknown or shut.
    hole_mm   : round hole that empties it in that time; None where unknown.
    gap_days  : usual dry gap between rains; None unknown.
    loss      : what it takes of the record; None where it was not reckoned.
    """

    roof: str
    flush: FirstFlush
    volume_l: float
    depth_mm: float
    length_m: float | None
    empties_h: float | None
    hole_mm: float | None
    gap_days: float | None
    loss: FlushLoss | None


def flush_pipes(
    site: Site,
    *,
    gap_days: float | None = None,
    losses: Mapping[str, FlushLoss] | None = None,
) -> tuple[FlushPipe, ...]:
    """The first flush of every roof that has one.

    gap_days : median dry gap of the record. losses : by roof, from `flush_loss`.
    """
    return tuple(
        _of_roof(roof, roof.first_flush, gap_days=gap_days, loss=(losses or {}).get(roof.name))
        for roof in site.roofs
        if roof.first_flush is not None and roof.plan_area_m2 > 0.0
    )


def usual_gap_days(water_mm: FloatArray) -> float | None:
    """Median of the dry gaps between wet runs; None where the record has no gap.

    water_mm : rain or runoff of each day, shape (day,).
    """
    wet = np.flatnonzero(water_mm > 0.0)
    dry_days = np.diff(wet) - 1
    gaps = dry_days[dry_days > 0]
    return float(np.median(gaps)) if gaps.size else None


def flush_loss(roof: Roof, water_mm: FloatArray) -> FlushLoss:
    """What a roof's first flush takes of the water that comes to it on each day.

    water_mm : depth over the plan area, shape (day,). Raises OutOfRange for an empty record.
    """
    if not len(water_mm):
        raise OutOfRange("A record without a day has no mean year.")
    to_l_year = roof.plan_area_m2 * _DAYS_PER_YEAR / len(water_mm)
    came_mm = float(water_mm.sum())
    most_share = table("conveyance")["flush loss"].value
    return FlushLoss(
        lost_l_year=float(first_flush_mm(roof, water_mm).sum()) * to_l_year,
        came_l_year=came_mm * to_l_year,
        most_mm=_deepest_mm(roof, water_mm, most_mm=most_share * came_mm),
    )


def standpipe_length_m(volume_l: float, bore_mm: float) -> float:
    """Length of a pipe that holds a volume."""
    return volume_l / litres_per_m(bore_mm)


def litres_per_m(bore_mm: float) -> float:
    """Volume of one metre of a full pipe."""
    if not 1.0 <= bore_mm <= 3000.0:
        raise OutOfRange(f"A bore of {bore_mm:g} mm is no pipe's.")
    return math.pi / 4.0 * (bore_mm / 1000.0) ** 2 * 1000.0


def lengths_by_size(volume_l: float, family: str = "pipe") -> tuple[tuple[str, float], ...]:
    """Length in m of a standpipe of each size sold, by its name."""
    return tuple(
        (called, standpipe_length_m(volume_l, bore_mm))
        for called, bore_mm in standard_bores(family)
    )


def empties_h_through_hole(length_m: float, *, bore_mm: float, hole_mm: float) -> float:
    """Time for an upright pipe to drain through a round hole at its foot.

    Falling head: t = (A/a) sqrt(2 h / g) / c, with the sharp-edged hole's c of
    tables/conveyance.csv; the hole narrower than the pipe.
    """
    if not 0.0 < hole_mm < bore_mm or length_m <= 0.0:
        raise OutOfRange(f"No hole of {hole_mm:g} mm empties a pipe of {bore_mm:g} mm.")
    seconds = (bore_mm / hole_mm) ** 2 * math.sqrt(2.0 * length_m / GRAVITY_M_S2) / _discharge()
    return seconds / 3600.0


def hole_mm_to_empty(length_m: float, *, bore_mm: float, hours: float) -> float:
    """Round hole through which an upright pipe drains in a time, the inverse of the above."""
    if hours <= 0.0 or length_m <= 0.0:
        raise OutOfRange("A pipe empties in some time above 0.")
    whole_h = math.sqrt(2.0 * length_m / GRAVITY_M_S2) / _discharge() / 3600.0
    return bore_mm * math.sqrt(whole_h / hours)


def _of_roof(
    roof: Roof, flush: FirstFlush, *, gap_days: float | None, loss: FlushLoss | None
) -> FlushPipe:
    volume_l = flush.volume_l or (flush.depth_mm or 0.0) * roof.plan_area_m2
    length_m = standpipe_length_m(volume_l, flush.bore_mm) if flush.bore_mm else None
    drains_l_h = flush.drain_l_h if flush.drain_l_h is not None else flush.bleed_l_h
    empties_h = volume_l / drains_l_h if drains_l_h else None
    hole_mm = None
    if length_m and empties_h and flush.bore_mm:
        hole_mm = hole_mm_to_empty(length_m, bore_mm=flush.bore_mm, hours=empties_h)
    return FlushPipe(
        roof.name,
        flush,
        volume_l=volume_l,
        depth_mm=volume_l / roof.plan_area_m2,
        length_m=length_m,
        empties_h=empties_h,
        hole_mm=hole_mm,
        gap_days=gap_days,
        loss=loss,
    )


def _deepest_mm(roof: Roof, water_mm: FloatArray, *, most_mm: float) -> float:
    """Largest depth of first flush that takes no more than a total, by halving."""
    flush = roof.first_flush or FirstFlush()
    runs_mm = wet_run_mm(water_mm, reset_dry_days=flush.reset_dry_days)

    def taken_mm(depth_mm: float) -> float:
        if flush.bleed_l_h == 0.0:
            return float(np.minimum(runs_mm, depth_mm).sum())
        deeper = replace(flush, depth_mm=depth_mm, volume_l=None)
        return float(first_flush_mm(replace(roof, first_flush=deeper), water_mm).sum())

    low, high = 0.0, max(float(water_mm.max()), 1.0)
    for _ in range(25):
        middle = (low + high) / 2.0
        low, high = (low, middle) if taken_mm(middle) > most_mm else (middle, high)
    return low


def _discharge() -> float:
    return table("conveyance")["hole discharge"].value
