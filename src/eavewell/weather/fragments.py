"""Donor days: a record in short steps, cut into days whose shapes other days may borrow.

The method of fragments: a wet day takes the shape of a measured day of the same season, with the
same wet or dry neighbours, near in depth; the shape is scaled to the day's own total.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from eavewell.faults import BadRecord
from eavewell.site.rain_record import DayArray, FloatArray, StepRain
from eavewell.tables import table

IntArray = NDArray[np.int64]
_MINUTES_A_DAY = 1440


@dataclass(frozen=True, slots=True, eq=False)
class DonorDays:
    """Wet days of a record in short steps, in the order of their dates.

    shares   : of the day's depth in each step, shape (day, step), each row adding up to 1.
    depth_mm : shape (day,). day_of_year 0 to 365. neighbours : 0 to 3, bit 1 wet before, bit 2 wet
               after.
    """

    name: str
    minutes: int
    dates: DayArray
    depth_mm: FloatArray
    day_of_year: IntArray
    neighbours: IntArray
    shares: NDArray[np.float32]

    @property
    def count(self) -> int:
        """Number of wet days."""
        return int(self.depth_mm.size)

    def chosen(self, rows: "NDArray[np.bool_]") -> "DonorDays":
        """Some of the days."""
        return DonorDays(
            self.name,
            self.minutes,
            self.dates[rows],
            self.depth_mm[rows],
            day_of_year=self.day_of_year[rows],
            neighbours=self.neighbours[rows],
            shares=self.shares[rows],
        )


def donor_days(record: StepRain) -> DonorDays:
    """Cut a record into its wet days; days without a trustworthy value lend nothing.

    Raises BadRecord where the steps do not divide the day, or too few days are wet.
    """
    step = record.step_minutes
    if step <= 0 or _MINUTES_A_DAY % step:
        raise BadRecord(f"{record.name}: steps of {step} minutes do not divide the day.")
    dates = record.starts.astype("datetime64[D]")
    at = (record.starts.astype("datetime64[m]") - dates).astype(np.int64) // step
    days, row = np.unique(dates, return_inverse=True)
    depths = np.zeros((days.size, _MINUTES_A_DAY // step))
    np.add.at(depths, (row, at), record.rain_mm)
    total = depths.sum(axis=1)
    bad = np.array(sorted(record.missing_days), dtype="datetime64[D]")
    keep = (total >= table("fragments")["least_depth"].value) & ~np.isin(days, bad)
    least = table("fragments")["least_days"].value
    if keep.sum() < least:
        raise BadRecord(f"{record.name}: {keep.sum()} wet days; a donor needs {least:g}.")
    return DonorDays(
        record.name,
        step,
        days[keep],
        total[keep],
        day_of_year=day_of_year(days[keep]),
        neighbours=neighbours(days, days[keep]),
        shares=(depths[keep] / total[keep, None]).astype(np.float32),
    )


def day_of_year(dates: DayArray) -> IntArray:
    """0 for 1 January."""
    first = dates.astype("datetime64[Y]").astype("datetime64[D]")
    return np.asarray((dates - first).astype(np.int64))


def neighbours(wet_dates: DayArray, dates: DayArray) -> IntArray:
    """Whether the day before and the day after each date is wet, as bits 1 and 2."""
    day = np.timedelta64(1, "D")
    before, after = np.isin(dates - day, wet_dates), np.isin(dates + day, wet_dates)
    return np.asarray(before + 2 * after, dtype=np.int64)


def pick_donors(
    donor: DonorDays,
    dates: DayArray,
    *,
    depth_mm: FloatArray,
    wet_dates: DayArray,
    seed: int,
) -> IntArray:
    """Row of the donor for each wet day, shape (day,).

    Among the donor's days within 45 days of the season and with the same neighbours, the sqrt(n)
    nearest in depth; one of them by chance, the nearest with weight 1, the next 1/2, 1/3 and so on.
    Where too few agree, first the neighbours and then the season are let go.
    """
    rng = np.random.default_rng(seed)
    season, beside = day_of_year(dates), neighbours(wet_dates, dates)
    picked = np.zeros(dates.size, dtype=np.int64)
    chance = rng.random(dates.size)
    for rows, candidates in _groups(donor, season, beside=beside):
        ordered = candidates[np.argsort(donor.depth_mm[candidates], kind="stable")]
        most = max(1, math.isqrt(ordered.size))
        rank = _ranks(chance[rows], most)
        for row, nth in zip(rows, rank, strict=True):
            picked[row] = _nth_nearest(donor.depth_mm, ordered, depth=depth_mm[row], nth=int(nth))
    return picked


def _groups(
    donor: DonorDays, season: IntArray, *, beside: IntArray
) -> Iterator[tuple[IntArray, IntArray]]:
    """Days of one season and kind with the donor days they may borrow from."""
    window = table("fragments")["season_days"].value
    least = table("fragments")["least_candidates"].value
    key = season * 4 + beside
    for one in np.unique(key):
        apart = np.abs(donor.day_of_year - one // 4)
        near = np.minimum(apart, 366 - apart) <= window
        same = near & (donor.neighbours == one % 4)
        for candidates in (same, near, np.ones_like(near)):
            if candidates.sum() >= least or candidates.all():
                break
        yield np.flatnonzero(key == one), np.flatnonzero(candidates)


def _ranks(chance: FloatArray, most: int) -> IntArray:
    """0 to most - 1 with weights 1, 1/2, 1/3 ..."""
    weights = np.cumsum(1.0 / np.arange(1, most + 1))
    return np.searchsorted(weights / weights[-1], chance, side="right").astype(np.int64)


def _nth_nearest(depths: FloatArray, ordered: IntArray, *, depth: float, nth: int) -> int:
    """The donor whose depth is the nth nearest, 0 the nearest; depths compare as ratios.

    A donor much smaller or larger would lend too sharp or too flat a shape: those within the
    table's ratio come first, and where there is none the nearest lends.
    """
    middle = int(np.searchsorted(depths[ordered], depth))
    around = ordered[max(0, middle - nth - 1) : middle + nth + 1]
    apart = np.abs(np.log(depths[around]) - math.log(max(depth, 1e-6)))
    near = int((apart <= math.log(table("fragments")["depth_ratio"].value)).sum())
    rank = min(nth, around.size - 1) % near if near else 0
    return int(around[np.argsort(apart, kind="stable")[rank]])
