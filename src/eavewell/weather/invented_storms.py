"""Storms within the day for an invented climate, for trying things out; no gauge measured them."""

import numpy as np
from numpy.typing import NDArray

from eavewell.site.rain_record import FloatArray, StepRain
from eavewell.tables import rows
from eavewell.weather.climates import climate_record

STEP_MINUTES = 5
STEPS = 24 * 60 // STEP_MINUTES
# One tip of a rain gauge: what falls below it within a step is no rain.
LEAST_MM = 0.1


def climate_storms(name: str, years: int = 20, *, seed: int = 2) -> StepRain:
    """Make up a 5-minute record of an invented climate.

    name  : one of climates.climate_names(); another raises BadSite.
    years : whole calendar years; seed : the same seed gives the same record.
    Each day's depth is parted again and again, in halves and then in thirds down to five minutes;
    a part stays dry by chance, else it takes a random share (tables/climates/storms.csv).
    """
    daily = climate_record(name, years, seed=seed)
    rng = np.random.default_rng(seed)
    wet = np.flatnonzero(daily.rain_mm > 0.0)
    steps_mm = parted_mm(daily.rain_mm[wet], rng=rng)
    day, step = np.nonzero(steps_mm >= LEAST_MM)
    midnight = daily.dates[wet][day].astype("datetime64[m]")
    return StepRain(
        name=f"{name} (invented storms)",
        step_minutes=STEP_MINUTES,
        starts=np.asarray(midnight + STEP_MINUTES * step, dtype="datetime64[m]"),
        rain_mm=steps_mm[day, step],
        first_day=daily.first_day,
        last_day=daily.last_day,
        notes=("The storms are invented: no gauge measured them.",),
    )


def parted_mm(depths_mm: FloatArray, *, rng: np.random.Generator) -> FloatArray:
    """Part the depth of each day over its 5-minute steps, shape (day, 288); the sums stay."""
    parted = depths_mm.reshape(-1, 1)
    for row in rows("climates/storms"):
        weights = _weights(
            (*parted.shape, int(row["parts"])),
            dry_chance=float(row["dry_chance"]),
            evenness=float(row["evenness"]),
            rng=rng,
        )
        parted = (parted[:, :, None] * weights).reshape(len(parted), -1)
    return parted


def _weights(
    shape: tuple[int, ...], *, dry_chance: float, evenness: float, rng: np.random.Generator
) -> FloatArray:
    """Random shares that add up to 1 along the last axis; some are nothing, never all."""
    drawn = rng.gamma(evenness, size=shape)
    kept: NDArray[np.bool_] = rng.random(shape) >= dry_chance
    kept |= np.arange(shape[-1]) == rng.integers(shape[-1], size=(*shape[:-1], 1))
    drawn = drawn * kept
    return np.asarray(drawn / drawn.sum(axis=-1, keepdims=True))
