"""Peak flow of a small house by chance: how many fixtures run at once, and what they draw.

Three methods of the plumbing trade, all for the 99th percentile: by mean and spread (plain), the
same for the moments in which anything runs at all (zero-truncated), and by counting every case.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from eavewell.faults import OutOfRange
from eavewell.site.outlet import Outlet
from eavewell.site.rain_record import FloatArray
from eavewell.tables import rows
from eavewell.units import read

PERCENTILE = 0.99
Z_PLAIN, Z_TRUNCATED = 2.326, 2.33
STEP_L_S = 1e-4
# A number running at once of less chance than this is left out.
NO_CHANCE = 1e-18


@dataclass(frozen=True, slots=True)
class Alike:
    """Equal fixtures: how many, the share of the peak hour that each runs, its flow then."""

    count: int
    busy_share: float
    flow_l_s: float


@dataclass(frozen=True, slots=True)
class ProbableDemand:
    """Flow not passed in 99 of 100 moments, L/s.

    mean, square, idle : sum of n p q, sum of n p (1-p) q squared, chance that nothing runs.
    busy_l_s  : counted over the moments in which something runs; all_l_s : over all moments.
    """

    mean: float
    square: float
    idle: float
    plain_l_s: float
    truncated_l_s: float
    busy_l_s: float
    all_l_s: float


def alike(outlets: Iterable[Outlet]) -> tuple[Alike, ...]:
    """Outlets by kind, with shares and flows of tables/outlets.csv; those without are left out."""
    known = {row["fixture"]: row for row in rows("outlets") if row["busy_share"]}
    counts: dict[str, int] = {}
    for one in outlets:
        if one.fixture in known:
            counts[one.fixture] = counts.get(one.fixture, 0) + one.count
    return tuple(_alike(known[fixture], count) for fixture, count in counts.items())


def probable_demand(fixtures: Sequence[Alike]) -> ProbableDemand | None:
    """The 99th percentile by every method; None where there is no fixture.

    Raises OutOfRange for a share outside 0 to 1.
    """
    if not fixtures:
        return None
    if not all(0.0 < one.busy_share < 1.0 and one.count > 0 for one in fixtures):
        raise OutOfRange("A fixture runs for a share of the peak hour between 0 and 1.")
    mean = sum(one.count * one.busy_share * one.flow_l_s for one in fixtures)
    square = sum(
        one.count * one.busy_share * (1.0 - one.busy_share) * one.flow_l_s**2 for one in fixtures
    )
    idle = math.prod((1.0 - one.busy_share) ** one.count for one in fixtures)
    chances = _chances(fixtures)
    return ProbableDemand(
        mean,
        square,
        idle,
        plain_l_s=mean + Z_PLAIN * math.sqrt(square),
        truncated_l_s=_truncated(mean, square, idle=idle),
        busy_l_s=_passed_by(chances, idle + PERCENTILE * (1.0 - idle)),
        all_l_s=_passed_by(chances, PERCENTILE),
    )


def _alike(row: Mapping[str, str], count: int) -> Alike:
    flow = read(f"{row['busy_gpm']} gal/min", "flow")
    return Alike(count, float(row["busy_share"]), flow)


def _truncated(mean: float, square: float, *, idle: float) -> float:
    busy = 1.0 - idle
    spread = max(busy * square - idle * mean**2, 0.0)
    return (mean + Z_TRUNCATED * math.sqrt(spread)) / busy


def _chances(fixtures: Sequence[Alike]) -> FloatArray:
    """Chance of every flow, in steps of STEP_L_S: one kind of fixture folded in after another."""
    chances: FloatArray = np.ones(1)
    for kind in fixtures:
        running = [(how_many, chance) for how_many, chance in _running(kind) if chance > NO_CHANCE]
        steps = [round(how_many * kind.flow_l_s / STEP_L_S) for how_many, _ in running]
        folded = np.zeros(chances.size + max(steps))
        for more, (_, chance) in zip(steps, running, strict=True):
            folded[more : more + chances.size] += chance * chances
        chances = folded
    return chances


def _running(kind: Alike) -> Iterator[tuple[int, float]]:
    """Chance of so many running at once, by the logarithms of a binomial: none overflows."""
    run, rest = math.log(kind.busy_share), math.log1p(-kind.busy_share)
    ways = math.lgamma(kind.count + 1)
    for running in range(kind.count + 1):
        still = kind.count - running
        log_ways = ways - math.lgamma(running + 1) - math.lgamma(still + 1)
        yield running, math.exp(log_ways + running * run + still * rest)


def _passed_by(chances: FloatArray, percentile: float) -> float:
    """The least flow that is not passed with this chance."""
    steps = int(np.searchsorted(np.cumsum(chances), percentile - 1e-12))
    return min(steps, chances.size - 1) * STEP_L_S
