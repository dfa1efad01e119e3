"""A level gauge's figures as levels above the floor: by its zero, or by levels known otherwise."""

import math
from dataclasses import dataclass

import numpy as np

from eavewell.faults import BadLog, Fault
from eavewell.site.gauge import Gauge, KnownLevel
from eavewell.tables import table
from eavewell.units import read, units

LENGTHS = tuple(
    name for one in units() if one.dimension == "length" for name in (one.name, *one.aliases)
)


@dataclass(frozen=True, slots=True)
class Calibration:
    """A level as offset_m + slope x figure.

    residual_sd_m : how far known levels lie from the line, by three or more; None for fewer.
    says : what was done, in a sentence.
    """

    slope: float
    offset_m: float
    says: str
    residual_sd_m: float | None = None


def calibration(gauge: Gauge) -> Calibration:
    """The line that turns a gauge's figures into levels above the tank's floor.

    No known level: the zero as stated. One: it sets the zero. Two or more: least squares.
    Raises BadLog where the known levels contradict each other, or nothing is known.
    """
    known = _known(gauge)
    if len(known) >= 2:
        return _by_levels(gauge, known)
    way = -1.0 if looks_down(gauge) else 1.0
    if known:
        offset_m = known[0].level_m - way * known[0].said
        return Calibration(way, offset_m, "One known level sets the zero.")
    if gauge.zero_m is None:
        raise _bad(gauge, "Its zero is not known; state zero, or one or more known levels.")
    return Calibration(way, gauge.zero_m, "The zero is taken as stated.")


def looks_down(gauge: Gauge) -> bool:
    """True for a sensor that measures from above down to the water."""
    return gauge.how == "ultrasonic"


def _known(gauge: Gauge) -> tuple[KnownLevel, ...]:
    """Known levels with the figure as readings have it: in metres where its unit is a length."""
    if gauge.unit not in LENGTHS:
        return gauge.known_levels
    one_m = read(f"1 {gauge.unit}", "length")
    return tuple(KnownLevel(one_m * known.said, known.level_m) for known in gauge.known_levels)


def _by_levels(gauge: Gauge, known: tuple[KnownLevel, ...]) -> Calibration:
    said = np.array([one.said for one in known])
    level_m = np.array([one.level_m for one in known])
    _refuse_muddle(gauge)
    away = said - said.mean()
    slope = float(away @ (level_m - level_m.mean()) / (away @ away))
    offset_m = float(level_m.mean() - slope * said.mean())
    left_m = level_m - offset_m - slope * said
    spare = said.size - 2
    sd_m = math.sqrt(float(left_m @ left_m) / spare) if spare else None
    return Calibration(slope, offset_m, _says(gauge, slope, residual_sd_m=sd_m), sd_m)


def _says(gauge: Gauge, slope: float, *, residual_sd_m: float | None) -> str:
    count = len(gauge.known_levels)
    says = f"A straight line through {count} known levels"
    if residual_sd_m is None:
        says += "; a third would tell how well it fits."
    else:
        says += f", which lie {1000.0 * residual_sd_m:.0f} mm from it (standard deviation)."
    off = abs(abs(slope) - 1.0)
    if gauge.unit in ("", *LENGTHS) and off > table("log_figures")["slope_off"].value:
        says += f" It stretches the gauge's metres by {slope:+.2f}: check the levels."
    return says


def _refuse_muddle(gauge: Gauge) -> None:
    """Known levels must rise or fall all the way, as the gauge can only do one of the two."""
    pairs = sorted((one.said, one.level_m) for one in gauge.known_levels)
    said, level_m = (np.diff([pair[k] for pair in pairs]) for k in (0, 1))
    if (said == 0).any():
        raise _bad(gauge, "Two known levels have the same figure; keep one of them.")
    rises, falls = bool((level_m > 0).all()), bool((level_m < 0).all())
    if not rises and not falls:
        raise _bad(
            gauge,
            "Its known levels rise and fall as its figure grows; one of them must be a slip. "
            f"In the order of the figures they are {_listed(pairs)}.",
        )
    if looks_down(gauge) and rises:
        raise _bad(
            gauge,
            "It looks down on the water, so its distance must shrink as the level rises; "
            f"its known levels say the opposite: {_listed(pairs)}. If it tells a depth, say "
            'how = "unknown".',
        )


def _listed(pairs: list[tuple[float, float]]) -> str:
    return ", ".join(f"{said:g} at {level_m:g} m" for said, level_m in pairs[:8])


def _bad(gauge: Gauge, says: str) -> BadLog:
    return BadLog(Fault(says, where=f"gauge '{gauge.name}'"))
