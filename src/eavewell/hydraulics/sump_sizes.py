"""Water captured a year by size of sump and pump."""

from dataclasses import dataclass, replace

from eavewell.files.site.generic_pumps import generic_pump, generic_pumps
from eavewell.hydraulics.lift import LiftDuty, flow_up_l_s
from eavewell.site.pump import Pump
from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.storage.series import Series
from eavewell.storage.sump_days import CAPTURED, OVERTOPPED
from eavewell.storage.within_day import (
    RainWithinDay,
    SumpLift,
    left_by_lift,
    run_lift,
    sump_runoff_l,
)

# Sumps of the same depth and floats, so many times as large in plan.
TIMES = (0.5, 1.0, 2.0, 4.0)


@dataclass(frozen=True, slots=True)
class SumpSize:
    """One sump with one pump. sump_l : to the spillway. captured_share : of what left it."""

    sump_l: float
    pump: Pump
    captured_l_year: float
    captured_share: float


def sump_sizes(
    site: Site, water: Series, *, within: RainWithinDay, duty: LiftDuty
) -> tuple[SumpSize, ...]:
    """Every size with the lift's own pump and every generic sump pump, small to large.

    Empty where the lift's numbers or its runoff are unknown.
    """
    runoff_l = sump_runoff_l(site, water, sump=duty.sump.name)
    held_l, numbers = duty.level("spillway").held_l, duty.numbers
    if numbers is None or held_l is None or not runoff_l.any():
        return ()
    lifts = [
        (held_l * times, pump, _sized(lift, times))
        for pump in _pumps(duty)
        if (lift := with_pump(duty, pump)) is not None
        for times in TIMES
    ]
    return tuple(
        _captured(lift, runoff_l, within=within, sump_l=sump_l, pump=pump)
        for sump_l, pump, lift in lifts
    )


def with_pump(duty: LiftDuty, pump: Pump) -> SumpLift | None:
    """The lift's numbers with another pump on the same riser; None where they are unknown."""
    numbers, riser = duty.numbers, duty.lift.riser
    low, high = duty.level("stop").static_m, duty.level("spillway").static_m
    if numbers is None or riser is None or low is None or high is None:
        return None
    flows = [flow_up_l_s(pump, riser, static_m=static_m) for static_m in (low, high)]
    return replace(numbers, low_l_s=flows[0], high_l_s=flows[1])


def next_pump(duty: LiftDuty, flow_l_s: float) -> Pump | None:
    """The smallest generic sump pump that moves so much at the spillway's level; None if none."""
    for name in _generic():
        lift = with_pump(duty, generic_pump(name))
        if lift is not None and lift.high_l_s >= flow_l_s and lift.low_l_s > 0.0:
            return generic_pump(name)
    return None


def pump_that_reaches(duty: LiftDuty) -> Pump | None:
    """The smallest generic sump pump, then submersible, that moves water at the stop level."""
    static_m, riser = duty.level("stop").static_m, duty.lift.riser
    if static_m is None or riser is None:
        return None
    for name in _generic() + _generic("submersible"):
        if flow_up_l_s(generic_pump(name), riser, static_m=static_m) > 0.0:
            return generic_pump(name)
    return None


def _pumps(duty: LiftDuty) -> list[Pump]:
    own = duty.lift.pump
    others = [generic_pump(name) for name in _generic() if own is None or name != own.name]
    return ([] if own is None else [own]) + others


def _generic(kind: str = "sump") -> list[str]:
    return [name for name in generic_pumps() if generic_pump(name).kind == kind]


def _sized(lift: SumpLift, times: float) -> SumpLift:
    return replace(lift, start_l=lift.start_l * times, spill_l=lift.spill_l * times)


def _captured(
    lift: SumpLift, runoff_l: FloatArray, *, within: RainWithinDay, sump_l: float, pump: Pump
) -> SumpSize:
    days = run_lift(lift, runoff_l, within=within)
    captured_l, over_l = float(days[CAPTURED].sum()), float(days[OVERTOPPED].sum())
    share = left_by_lift(captured_l, over_l) or 0.0
    return SumpSize(sump_l, pump, captured_l * 365.25 / runoff_l.size, share)
