"""Levels that a day's readings stand for, and the level at midnight between them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from eavewell.logbook.kept import DaySums, Times
from eavewell.logbook.readings.at_midnight import Held, between, usual_fall
from eavewell.logbook.readings.calibration import calibration
from eavewell.logbook.readings.gauged import (
    Strapping,
    levels,
    noise_m,
    strapping,
    unknown_within_sd,
)
from eavewell.site.gauge import Gauge
from eavewell.site.rain_record import FloatArray
from eavewell.site.tank import Tank
from eavewell.tables import table

# a median of many readings with even errors is off by this much more than their mean
_OF_A_MEDIAN = float(np.sqrt(np.pi / 2.0))
# median size of an error against its standard deviation; a second difference has 6 times its square
_MEDIAN_OF_ONE, _OF_A_BEND = 0.6745, float(np.sqrt(6.0))
_ENOUGH_READINGS, _ENOUGH_DAYS = 12, 10
_MS_OF_DAY = 86_400_000.0


@dataclass(frozen=True, slots=True, eq=False)
class Knots:
    """What stands for the first and last hours of each day; all of shape (knot,), in order.

    said : a figure of the gauge, a median where there are many. count : readings behind it.
    """

    at_utc: Times
    said: FloatArray
    count: NDArray[np.int64]


def knots_of(sums: DaySums) -> Knots:
    """Early and late figures of each day; its first and last reading where it has none."""
    all_late, all_early = sums.late_count == sums.count, sums.early_count == sums.count
    early, late = sums.early_count > 0, sums.late_count > 0
    at = np.concatenate(
        [
            np.where(early, sums.early_at_utc, sums.first_at_utc)[~all_late],
            np.where(late, sums.late_at_utc, sums.last_at_utc)[~all_early],
        ]
    )
    said = np.concatenate(
        [
            np.where(early, sums.early, sums.first)[~all_late],
            np.where(late, sums.late, sums.last)[~all_early],
        ]
    )
    count = np.concatenate(
        [
            np.where(early, sums.early_count, 1)[~all_late],
            np.where(late, sums.late_count, 1)[~all_early],
        ]
    )
    instants, rows = np.unique(at, return_index=True)
    return Knots(instants, said[rows], count[rows])


def held_at(
    midnights: Times,
    gauge: Gauge,
    *,
    tank: Tank,
    sums: DaySums,
    dry: NDArray[np.bool_],
    air: DaySums | None = None,
) -> Held:
    """Water that a tank held at each midnight by one gauge, nan where readings are too far apart.

    midnights : where days begin and the last ends, shape (day + 1,); of the last nothing is said.
    dry : days without rain for certain, shape (day,).
    air : sums of the gauge that tells the air above the water. Raises BadLog where the tank's
    shape or the gauge's zero is not known.
    """
    knots = knots_of(sums)
    strapped, noise = strapping(tank), _noise_m(gauge, sums)
    found = levels(gauge, knots.said, air_c=_air_c(knots.at_utc, air))
    sd_m = np.where(knots.count > 2, _OF_A_MEDIAN, 1.0) * noise / np.sqrt(knots.count)
    per_m = strapped.l_per_m(found.level_m, over_m=2.0 * noise)
    seen_l = strapped.held_l(found.level_m)
    full_l = np.maximum(tank.usable_l, seen_l)
    held_l = np.where(found.at_least, (seen_l + full_l) / 2.0, seen_l)
    blind_sd_l = np.where(found.at_least, unknown_within_sd(seen_l, full_l), 0.0)
    common_l = np.hypot(found.common_sd_m * per_m, blind_sd_l)
    good = _is_reading(gauge, knots, level_m=found.level_m, strapped=strapped, noise=noise)
    known = Held(held_l[good], (sd_m * per_m)[good], common_l[good])
    return between(midnights, knots.at_utc[good], known=known, dry=dry)


def together(parts: list[Held]) -> Held:
    """Several gauges of one tank: each by its own error, wider where they contradict each other."""
    held, sd = np.stack([p.held_l for p in parts]), np.stack([p.sd_l for p in parts])
    weights = np.where(np.isfinite(held), 1.0 / np.maximum(sd, 1e-9) ** 2, 0.0)
    whole, count = weights.sum(axis=0), (weights > 0.0).sum(axis=0)
    unknown = np.where(whole > 0.0, 0.0, np.nan)
    whole = np.where(whole > 0.0, whole, 1.0)
    mean = (weights * np.nan_to_num(held)).sum(axis=0) / whole
    apart = (weights * (np.nan_to_num(held) - mean) ** 2).sum(axis=0)
    wider = np.sqrt(np.maximum(apart / np.maximum(count - 1, 1), 1.0))
    return Held(mean + unknown, wider / np.sqrt(whole) + unknown, np.zeros(mean.size) + unknown)


def _noise_m(gauge: Gauge, sums: DaySums) -> float:
    """As stated; else as its own readings scatter, by no less than a share of what is usual."""
    usual = noise_m(gauge)
    seen = sums.roughness[(sums.count >= _ENOUGH_READINGS) & np.isfinite(sums.roughness)]
    if gauge.noise is not None or seen.size < _ENOUGH_DAYS:
        return usual
    scatter = float(np.median(seen)) / (_MEDIAN_OF_ONE * _OF_A_BEND)
    metres = abs(calibration(gauge).slope) * scatter
    return max(metres, table("log_figures")["quiet_sensor"].value * usual)


def _air_c(at_utc: Times, air: DaySums | None) -> FloatArray | None:
    """Air temperature at each knot, by the knots of its own gauge; nan a day away from them."""
    if air is None or not air.dates.size:
        return None
    knots = knots_of(air)
    x, ours = at_utc.astype(np.int64), knots.at_utc.astype(np.int64)
    near = np.abs(ours[_nearest(ours, x)] - x) <= _MS_OF_DAY
    return np.where(near, np.interp(x, ours, knots.said), np.nan)


def _nearest(ours: NDArray[np.int64], x: NDArray[np.int64]) -> NDArray[np.int64]:
    after = np.clip(np.searchsorted(ours, x), 0, ours.size - 1)
    before = np.maximum(after - 1, 0)
    return np.where(x - ours[before] < ours[after] - x, before, after)


def _is_reading(
    gauge: Gauge, knots: Knots, *, level_m: FloatArray, strapped: Strapping, noise: float
) -> NDArray[np.bool_]:
    """What is neither outside the gauge's limits or the tank, nor a lone spike."""
    figures = table("log_figures")
    out_m = figures["outside"].value * noise
    least, most = gauge.least, gauge.most
    good: NDArray[np.bool_] = level_m >= -out_m
    good &= level_m <= strapped.depths_m[-1] + out_m
    good &= knots.said >= (-np.inf if least is None else least)
    good &= knots.said <= (np.inf if most is None else most)
    rows = np.flatnonzero(good)
    if rows.size < 3:
        return good
    days = knots.at_utc[rows].astype(np.int64) / _MS_OF_DAY
    lone = _slips(days, level_m[rows], noise=noise) & (knots.count[rows[1:-1]] == 1)
    good[rows[1:-1][lone]] = False
    return good


def _slips(days: FloatArray, z: FloatArray, *, noise: float) -> NDArray[np.bool_]:
    """Levels far from both neighbours, which agree, by a fall that use cannot explain.

    Of all but the first and last; rain explains any rise.
    """
    figures = table("log_figures")
    before, after = days[1:-1] - days[:-2], days[2:] - days[1:-1]
    off = z[1:-1] - z[:-2] - before / (before + after) * (z[2:] - z[:-2])
    back = np.abs(z[2:] - z[:-2]) <= np.maximum(3.0 * noise, np.abs(off) / 4.0)
    low = off < 0.0
    fall = np.where(low, z[:-2] - z[1:-1], z[1:-1] - z[2:])
    use = usual_fall(days, z, sd=np.full(z.size, noise)) * np.where(low, before, after)
    most = np.maximum(figures["spike"].value * noise, figures["spike_use"].value * use)
    return back & (fall > most) & (before + after <= 2.0 * figures["longest_gap"].value)
