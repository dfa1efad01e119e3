"""What a level gauge says, as a level above the floor and as water above the dead storage."""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from eavewell.faults import BadLog, Fault
from eavewell.logbook.readings.calibration import calibration, looks_down
from eavewell.site.gauge import Gauge
from eavewell.site.rain_record import FloatArray
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import TankShape, strapping_table
from eavewell.tables import table

_ZERO_C_IN_K = 273.15
# steps of a strapping table between whose points straight lines cannot be told from the shape
_STEP_M = 0.001


@dataclass(frozen=True, slots=True, eq=False)
class Levels:
    """Levels above the floor of a tank; all of shape (reading,).

    at_least : True where the water stands in a sensor's blind zone: that high or higher.
    common_sd_m : error that a day's readings share, as from an unknown air temperature.
    """

    level_m: FloatArray
    at_least: NDArray[np.bool_]
    common_sd_m: FloatArray


def levels(gauge: Gauge, said: FloatArray, *, air_c: FloatArray | None = None) -> Levels:
    """A gauge's figures, in its internal unit, as levels above the floor.

    air_c : temperature of the air above the water at each reading, nan where unknown; it matters
    to an ultrasonic sensor that reckons with a fixed one (`reckons_at_c`).
    """
    line = calibration(gauge)
    if not looks_down(gauge):
        none = np.zeros(said.size)
        return Levels(line.offset_m + line.slope * said, none.astype(bool), none)
    distance, common_sd = _true_distance(gauge, said, air_c=air_c)
    blind = said <= gauge.blind_m
    seen = np.where(blind, gauge.blind_m, distance)
    level_m = line.offset_m + line.slope * seen
    return Levels(level_m, blind, np.where(blind, 0.0, abs(line.slope) * common_sd))


def true_distance_by_sound(
    distance_m: FloatArray, air_c: FloatArray, *, reckoned_c: float
) -> FloatArray:
    """A distance timed by sound, put right for the temperature of the air.

    The speed of sound in air rises with the root of the absolute temperature, so the distance a
    sensor reckons at a fixed temperature is wrong by the root of the two temperatures' ratio.
    """
    ratio = (air_c + _ZERO_C_IN_K) / (reckoned_c + _ZERO_C_IN_K)
    return np.asarray(distance_m * np.sqrt(ratio), dtype=np.float64)


def _true_distance(
    gauge: Gauge, said: FloatArray, *, air_c: FloatArray | None
) -> tuple[FloatArray, FloatArray]:
    """Distances put right where the air is known, and the error left where it is not."""
    if gauge.reckons_at_c is None:
        return said, np.zeros(said.size)
    air = np.full(said.size, np.nan) if air_c is None else air_c
    unknown = np.isnan(air)
    put_right = true_distance_by_sound(said, air, reckoned_c=gauge.reckons_at_c)
    spread = table("log_figures")["air_spread"].value
    share = spread / (2.0 * (gauge.reckons_at_c + _ZERO_C_IN_K))
    return np.where(unknown, said, put_right), np.where(unknown, share * np.abs(said), 0.0)


def noise_m(gauge: Gauge) -> float:
    """Standard deviation of one level by a gauge: as stated, by its known levels, or as usual."""
    line = calibration(gauge)
    if gauge.noise is not None:
        return abs(line.slope) * gauge.noise
    usual = table("log_figures")
    row = usual.get(f"noise_{gauge.how.replace(' ', '_')}", usual["noise_unknown"])
    return max(row.value / 1000.0, line.residual_sd_m or 0.0)


@dataclass(frozen=True, slots=True, eq=False)
class Strapping:
    """A row of tanks as one: volume from the floor by depth, and litres a metre of depth."""

    depths_m: FloatArray
    volumes_l: FloatArray
    dead_l: float

    def held_l(self, level_m: FloatArray) -> FloatArray:
        """Water above the dead storage; below nothing in it; at the rim for all above."""
        return np.interp(level_m, self.depths_m, self.volumes_l) - self.dead_l

    def l_per_m(self, level_m: FloatArray, *, over_m: float) -> FloatArray:
        """Litres in a metre of depth about a level, as a mean over a band of so many metres."""
        half = max(over_m, _STEP_M) / 2.0
        low = np.clip(level_m - half, 0.0, self.depths_m[-1] - 2.0 * half)
        high = low + 2.0 * half
        volumes = np.interp(high, self.depths_m, self.volumes_l)
        return np.asarray((volumes - np.interp(low, self.depths_m, self.volumes_l)) / (high - low))


def strapping(tank: Tank) -> Strapping:
    """The strapping of a tank, its linked tanks together.

    Raises BadLog for a tank whose shape is not stated.
    """
    if tank.shape is None:
        raise BadLog(
            Fault(
                "A level says nothing of its volume, as its shape is not stated; give its "
                "diameter and height, or a table of depths and volumes.",
                where=f"tank '{tank.name}'",
            )
        )
    depths_m, one_l = _one(tank.shape)
    return Strapping(depths_m, tank.count * one_l, tank.dead_storage_l)


@lru_cache(maxsize=64)
def _one(shape: TankShape) -> tuple[FloatArray, FloatArray]:
    return strapping_table(shape, min(_STEP_M, shape.height_m / 200.0))


def held_l(tank: Tank, gauge: Gauge, *, said: FloatArray) -> FloatArray:
    """Water above the dead storage by a gauge's figures, the air as the sensor reckons it."""
    return strapping(tank).held_l(levels(gauge, said).level_m)


def unknown_within_sd(low: FloatArray | float, high: FloatArray | float) -> FloatArray:
    """Standard deviation of what lies anywhere between two bounds alike."""
    return np.asarray(np.subtract(high, low) / math.sqrt(12.0), dtype=np.float64)
