"""What a sump's lift captures within the day, and what runs over its spillway.

Each day's runoff after losses comes in the shape of that day's rain. Captured and overtopped are
series, never a mean share: a gentle day is caught whole, a cloudburst hardly.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from eavewell.faults import OutOfRange
from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.storage.balance import BalanceBroken
from eavewell.storage.series import Series, drained_roofs
from eavewell.storage.sump_days import CAPTURED, HELD, OVERTOPPED, RISER
from eavewell.tables import table
from eavewell.units import read

CLOSES_TO = 1e-9
# Floats nearer than this do not tell start from stop.
LEAST_BETWEEN_L = 1.0
# A riser that runs back more than this share of the volume between the floats is held to it.
MOST_BACK = 0.9


class RainWithinDay(Protocol):
    """Rain of each wet day in equal steps: rows into the days, depths [wet, step]."""

    @property
    def rows(self) -> Any:
        """Rows of the wet days in the record."""

    @property
    def steps_mm(self) -> Any:
        """Depth of each step of each wet day."""


@dataclass(frozen=True, slots=True)
class SumpLift:
    """A lift from a sump as numbers: volumes in L above the level at which the pump stops.

    start_l, spill_l : where the pump starts and where the spillway begins.
    back_l   : what the riser gives back at each stop.
    low_l_s, high_l_s : flow at the stop level and at the spillway; a straight line between.
    """

    lift: str
    sump: str
    target: str
    start_l: float
    spill_l: float
    back_l: float
    low_l_s: float
    high_l_s: float


@dataclass(frozen=True, slots=True)
class StormClass:
    """Days of one size of rain: up to `to_mm`, above the class before.

    captured_share : of the water that left the sump on them; None where none left.
    """

    name: str
    to_mm: float
    days: int
    runoff_l: float
    captured_share: float | None


@dataclass(frozen=True, slots=True)
class CapturedYear:
    """One calendar year; without_1_l and without_3_l: the power out in its largest 1, 3 storms."""

    year: int
    runoff_l: float
    captured_l: float
    without_1_l: float
    without_3_l: float


@dataclass(frozen=True, slots=True, eq=False)
class Captured:
    """What one lift captured: each array has one value a day.

    captured_l reaches the target; overtopped_l runs over the spillway; held_l stands in the sump
    in the evening above the stop level; starts of the pump.
    spread_days : days whose runoff has no shape (melt) and is spread over the day.
    error_l : runoff - captured - overtopped - held at the end.
    """

    lift: SumpLift
    runoff_l: FloatArray
    captured_l: FloatArray
    overtopped_l: FloatArray
    held_l: FloatArray
    starts: FloatArray
    spread_days: int
    error_l: float
    classes: tuple[StormClass, ...]
    years: tuple[CapturedYear, ...]

    @property
    def captured_share(self) -> float | None:
        """Share of the water that left the sump by its lift; None where none left."""
        return left_by_lift(self.captured_l.sum(), self.overtopped_l.sum())


def left_by_lift(captured_l: float, overtopped_l: float) -> float | None:
    """Share of the water that left a sump by its lift; None where none left."""
    left = captured_l + overtopped_l
    return float(captured_l / left) if left > 0.0 else None


def capture(
    site: Site, water: Series, *, within: RainWithinDay, lifts: Iterable[SumpLift]
) -> tuple[Captured, ...]:
    """Run every sump through the record; only roofs bring it water (see `sumps_reckoned`)."""
    return tuple(_captured(site, water, within=within, lift=lift) for lift in lifts)


def sumps_reckoned(site: Site) -> frozenset[str]:
    """Sumps that only roofs fill and only one lift empties, as long as its tank is not full."""
    spilled_to = {tank.overflow_to for tank in site.tanks}
    drawn = {name for use in site.uses for name in use.draws_from}
    filled = {lift.target for lift in site.lifts} | {truck.to for truck in site.hauling}
    sources = [lift.source for lift in site.lifts]
    held = {x.source for x in site.lifts if min(x.target_start_share, x.target_stop_share) < 1.0}
    others = spilled_to | drawn | filled | held
    return frozenset(
        tank.name
        for tank in site.tanks
        if tank.is_sump and tank.name not in others and sources.count(tank.name) == 1
    )


def sump_runoff_l(site: Site, water: Series, *, sump: str) -> FloatArray:
    """Runoff of all roofs that drain to a sump, on every day."""
    areas = [roof.plan_area_m2 * (roof.drains_to == sump) for roof in drained_roofs(site)]
    runoff: FloatArray = water.runoff_mm @ np.array(areas, dtype=np.float64)
    return runoff


def run_lift(
    lift: SumpLift,
    runoff_l: FloatArray,
    *,
    within: RainWithinDay,
    power: NDArray[np.bool_] | None = None,
) -> FloatArray:
    """Every day as rows of `sump_days`: HELD with the riser, CAPTURED, OVERTOPPED, STARTS.

    power : False on a day on which the pump stands still; None never. Raises OutOfRange where the
    pump starts less than a litre above its stop, the spillway is no higher than that stop, or the
    flow falls as the water rises.
    """
    from eavewell.storage.sump_kernel import Sump, run_sump

    _check(lift)
    powered = np.ones(runoff_l.size, dtype=np.bool_) if power is None else power
    back_l = min(lift.back_l, MOST_BACK * lift.start_l)
    sump = Sump(lift.start_l, lift.spill_l, back_l, lift.low_l_s, max(lift.low_l_s, lift.high_l_s))
    out = np.zeros((6, runoff_l.size))
    depths = np.ascontiguousarray(within.steps_mm, dtype=np.float32)
    run_sump(sump, runoff_l, day_shapes(within, runoff_l.size), depths, powered, out)
    out[HELD] += out[RISER]
    went = out[CAPTURED].sum() + out[OVERTOPPED].sum() + out[HELD, -1]
    if not abs(runoff_l.sum() - went) <= CLOSES_TO * max(float(runoff_l.sum()), 1.0):
        raise BalanceBroken(f"sump {lift.sump!r}: its balance within the day does not close.")
    return out


def _check(lift: SumpLift) -> None:
    if lift.start_l < LEAST_BETWEEN_L or lift.spill_l <= 0.0:
        raise OutOfRange(f"lift {lift.lift!r}: start float and spillway must stand above the stop.")
    if lift.high_l_s < lift.low_l_s * (1.0 - CLOSES_TO):
        raise OutOfRange(f"lift {lift.lift!r}: a pump gives no less from a fuller sump.")


def day_shapes(within: RainWithinDay, days: int) -> NDArray[np.int64]:
    """For each day the row of `within` that shapes it; -1 where none does."""
    pattern = np.full(days, -1, dtype=np.int64)
    rained = np.asarray(within.steps_mm).sum(axis=1) > 0.0
    pattern[np.asarray(within.rows)[rained]] = np.flatnonzero(rained)
    return pattern


def _captured(site: Site, water: Series, *, within: RainWithinDay, lift: SumpLift) -> Captured:
    runoff_l = sump_runoff_l(site, water, sump=lift.sump)
    held, _, captured, over, starts, _ = run_lift(lift, runoff_l, within=within)
    shaped = day_shapes(within, runoff_l.size) >= 0
    return Captured(
        lift=lift,
        runoff_l=runoff_l,
        captured_l=captured,
        overtopped_l=over,
        held_l=held,
        starts=starts,
        spread_days=int(((runoff_l > 0.0) & ~shaped).sum()),
        error_l=float(runoff_l.sum() - captured.sum() - over.sum() - held[-1]),
        classes=_classes(runoff_l, captured, over=over, within=within),
        years=_years(water, lift, runoff_l=runoff_l, captured=captured, within=within),
    )


def _classes(
    runoff_l: FloatArray, captured: FloatArray, *, over: FloatArray, within: RainWithinDay
) -> tuple[StormClass, ...]:
    """By the rain of the day; days that only melt count with the smallest."""
    rain_mm = np.zeros(runoff_l.size)
    rain_mm[np.asarray(within.rows)] = np.asarray(within.steps_mm, dtype=np.float64).sum(axis=1)
    edges = {
        name: read(f"{entry.value} in", "depth") for name, entry in table("storm_classes").items()
    }
    at = np.minimum(np.searchsorted(list(edges.values()), rain_mm), len(edges) - 1)
    ran = runoff_l > 0.0
    found = []
    for k, (name, to_mm) in enumerate(edges.items()):
        days = ran & (at == k)
        came = float(runoff_l[days].sum())
        share = left_by_lift(captured[days].sum(), over[days].sum())
        found.append(StormClass(name, to_mm, int(days.sum()), came, share))
    return tuple(found)


def _years(
    water: Series,
    lift: SumpLift,
    *,
    runoff_l: FloatArray,
    captured: FloatArray,
    within: RainWithinDay,
) -> tuple[CapturedYear, ...]:
    year = water.dates.astype("datetime64[Y]").astype(np.int64) + 1970
    without = [
        run_lift(lift, runoff_l, within=within, power=_power(year, runoff_l, storms=storms))[
            CAPTURED
        ]
        for storms in (1, 3)
    ]
    return tuple(
        CapturedYear(
            int(one), *(float(row[year == one].sum()) for row in (runoff_l, captured, *without))
        )
        for one in np.unique(year)
    )


def _power(year: NDArray[np.int64], runoff_l: FloatArray, *, storms: int) -> NDArray[np.bool_]:
    """False on the days of the largest storms of each year."""
    power = np.ones(runoff_l.size, dtype=np.bool_)
    for one in np.unique(year):
        days = np.flatnonzero(year == one)
        largest = days[np.argsort(-runoff_l[days], kind="stable")[:storms]]
        power[largest[runoff_l[largest] > 0.0]] = False
    return power
