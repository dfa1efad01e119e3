"""The duty of a lift out of a sump: head, flow and floats, and the storm that comes at it."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Protocol

from eavewell.hydraulics.friction import pipe_loss_m
from eavewell.hydraulics.levels import above_floor_m, overflow_level_m
from eavewell.hydraulics.pump_curve import head_at_m
from eavewell.hydraulics.spillway import spillway_l_s
from eavewell.hydraulics.sump_cycle import (
    drained_back_l,
    least_run_min,
    most_starts_h,
    shortest_cycle_min,
)
from eavewell.site.lift import Lift
from eavewell.site.pipe import Pipe
from eavewell.site.pump import Pump
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.storage.within_day import LEAST_BETWEEN_L, SumpLift
from eavewell.weather.design_storm import storm_for


class OneIntensity(Protocol):
    """Rain of one duration and return period."""

    @property
    def mm_h(self) -> float:
        """Its intensity."""


class Storms(Protocol):
    """Design storms of a place."""

    def intensity(self, minutes: float, years: float) -> OneIntensity | None:
        """Rain of a duration and return period; None where unknown."""


@dataclass(frozen=True, slots=True)
class AtLevel:
    """The lift at one level of the sump.

    at       : "stop", "start" or "spillway". level_m above the datum, held_l above the floor.
    static_m : from that level to where the water is let go, or to the full target's water where
               that stands higher. flow_l_s : 0 where the pump does not reach so high.
    head_m   : static and losses at that flow.
    overtop_min : from there to the spillway in the design storm with the pump standing still.
    Each None where unknown.
    """

    at: str
    level_m: float | None
    held_l: float | None
    static_m: float | None
    flow_l_s: float | None
    head_m: float | None
    overtop_min: float | None


@dataclass(frozen=True, slots=True)
class Floats:
    """Volume between the floats, less what the riser gives back, and how often the pump starts."""

    between_l: float
    cycle_min: float
    starts_h: float
    run_min: float


@dataclass(frozen=True, slots=True)
class LiftDuty:
    """One lift from a sump, worked out.

    at        : the lift at its stop, its start and at the spillway.
    back_l    : what the riser gives back at each stop; None unknown.
    floats    : None where unknown, or where the riser gives back all there is between them.
    roof_m2    : roofs of the sump, and of full tanks that spill into it.
    inflow_l_s : runoff of the design storm off these; None unknown.
    spillway_l_s : what the spillway carries before the rim runs over; None unknown or none.
    unknown   : what is not known, in words.
    """

    lift: Lift
    sump: Tank
    target: Tank
    let_go_m: float | None
    at: tuple[AtLevel, ...]
    back_l: float | None
    floats: Floats | None
    roof_m2: float
    intensity_mm_h: float | None
    inflow_l_s: float | None
    spillway_l_s: float | None
    spillway_m: float | None
    unknown: tuple[str, ...]

    def level(self, at: str) -> AtLevel:
        """The lift at "stop", "start" or "spillway"."""
        return {one.at: one for one in self.at}[at]

    @property
    def never_lifts(self) -> bool:
        """True where the pump moves no water at its start level."""
        return self.level("start").flow_l_s == 0.0

    @property
    def numbers(self) -> SumpLift | None:
        """The lift as the balance within the day wants it; None where unknown or upside down."""
        stop, start, spill = self.at
        known = (stop.flow_l_s, spill.flow_l_s, stop.held_l, start.held_l, spill.held_l)
        low, high, stop_l, start_l, spill_l = known
        if low is None or high is None or stop_l is None or start_l is None or spill_l is None:
            return None
        lift = self.lift
        above = (start_l - stop_l, spill_l - stop_l)
        if above[0] < LEAST_BETWEEN_L or above[1] <= 0.0:
            return None
        return SumpLift(lift.name, lift.source, lift.target, *above, self.back_l or 0.0, low, high)


@dataclass(frozen=True, slots=True)
class Lifted:
    """All lifts from sumps; years and minutes of the storm they are held against."""

    years: float
    minutes: float
    lifts: tuple[LiftDuty, ...]

    @property
    def numbers(self) -> tuple[SumpLift, ...]:
        """Those lifts of which enough is known for the balance within the day."""
        return tuple(numbers for one in self.lifts if (numbers := one.numbers) is not None)


def lift_duty(
    site: Site, storms: Storms, *, years: float | None = None, minutes: float | None = None
) -> Lifted:
    """Duty of every lift from a sump, with the sump's design storm of so many years and minutes.

    years, minutes : those of tables/storm_purposes.csv where left out.
    """
    asked = storm_for("sump")
    years, minutes = years or asked.years, minutes or asked.minutes
    tanks = {tank.name: tank for tank in site.tanks}
    one = storms.intensity(minutes, years)
    mm_h = None if one is None else one.mm_h
    return Lifted(
        years,
        minutes,
        tuple(
            _duty(site, lift, sump=tanks[lift.source], target=tanks[lift.target], mm_h=mm_h)
            for lift in site.lifts
            if lift.source in tanks and tanks[lift.source].is_sump
        ),
    )


def flow_up_l_s(pump: Pump, riser: Pipe, *, static_m: float) -> float:
    """Flow at which pump and riser meet; 0 where the pump does not reach, its last flow beyond."""
    most = pump.curve[-1][0]

    def spare_m(flow_l_s: float) -> float:
        return head_at_m(pump, flow_l_s) - static_m - pipe_loss_m(flow_l_s, riser)

    if spare_m(0.0) <= 0.0:
        return 0.0
    if spare_m(most) >= 0.0:
        return most
    low, high = 0.0, most
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (middle, high) if spare_m(middle) > 0.0 else (low, middle)
    return low


def _duty(site: Site, lift: Lift, *, sump: Tank, target: Tank, mm_h: float | None) -> LiftDuty:
    to_it = stores_spilling_to(site, sump.name)
    roof_m2 = sum(roof.plan_area_m2 for roof in site.roofs if roof.drains_to in to_it)
    inflow = None if mm_h is None else mm_h * roof_m2 / 3600.0
    let_go_m = _let_go_m(lift, target)
    at = _levels(lift, sump, let_go_m=let_go_m, inflow_l_s=inflow)
    back_l = _back_l(lift)
    return LiftDuty(
        lift=lift,
        sump=sump,
        target=target,
        let_go_m=let_go_m,
        at=at,
        back_l=back_l,
        floats=_floats(at, back_l or 0.0),
        roof_m2=roof_m2,
        intensity_mm_h=mm_h,
        inflow_l_s=inflow,
        spillway_l_s=spillway_l_s(sump),
        spillway_m=overflow_level_m(sump),
        unknown=tuple(_unknown(lift, sump, let_go_m=let_go_m, inflow_l_s=inflow)),
    )


def stores_spilling_to(site: Site, name: str) -> frozenset[str]:
    """A store and those whose overflow leads to it, one into another."""
    found = {name}
    while more := {tank.name for tank in site.tanks if tank.overflow_to in found} - found:
        found |= more
    return frozenset(found)


def _levels(
    lift: Lift, sump: Tank, *, let_go_m: float | None, inflow_l_s: float | None
) -> tuple[AtLevel, ...]:
    rim_m = sump.shape.height_m if sump.shape else None
    spill_m = rim_m if sump.overflow_m is None else sump.overflow_m
    spill_l = _held_l(sump, spill_m)
    found = []
    for at, height_m in (("stop", lift.stop_m), ("start", lift.start_m), ("spillway", spill_m)):
        level_m, held_l = above_floor_m(sump, height_m), _held_l(sump, height_m)
        static_m = None if let_go_m is None or level_m is None else let_go_m - level_m
        flow = _flow(lift, static_m)
        head_m = _head(lift, static_m, flow_l_s=flow)
        overtop = _overtop_min(held_l, spill_l, inflow_l_s=inflow_l_s)
        found.append(AtLevel(at, level_m, held_l, static_m, flow, head_m, overtop))
    return tuple(found)


def _flow(lift: Lift, static_m: float | None) -> float | None:
    if static_m is None or lift.pump is None or lift.riser is None:
        return None
    return flow_up_l_s(lift.pump, lift.riser, static_m=static_m)


def _head(lift: Lift, static_m: float | None, *, flow_l_s: float | None) -> float | None:
    if static_m is None or flow_l_s is None or lift.riser is None:
        return None
    return static_m + pipe_loss_m(flow_l_s, lift.riser)


def _overtop_min(
    held_l: float | None, spill_l: float | None, *, inflow_l_s: float | None
) -> float | None:
    if held_l is None or spill_l is None or not inflow_l_s:
        return None
    return max(spill_l - held_l, 0.0) / inflow_l_s / 60.0


def _held_l(sump: Tank, height_m: float | None) -> float | None:
    if sump.shape is None or height_m is None:
        return None
    return sump.count * sump.shape.volume_l(height_m)


def _let_go_m(lift: Lift, target: Tank) -> float | None:
    """Where the riser lets go, the target's rim where not stated; under water it is the water's."""
    if lift.let_go_m is None:
        return above_floor_m(target, target.shape.height_m if target.shape else None)
    full_m = overflow_level_m(target)
    return lift.let_go_m if full_m is None else max(lift.let_go_m, full_m)


def _back_l(lift: Lift) -> float | None:
    """None where neither riser nor check valve is known; an unknown check valve may fail."""
    if lift.riser is None:
        return None
    if lift.check_valve and not lift.weep_hole:
        return 0.0
    return drained_back_l(lift.riser.bore_mm, lift.riser.length_m)


def _floats(at: tuple[AtLevel, ...], back_l: float) -> Floats | None:
    stop, start, _ = at
    if stop.held_l is None or start.held_l is None or not start.flow_l_s:
        return None
    between = start.held_l - stop.held_l - back_l
    if between <= 0.0:
        return None
    flow = start.flow_l_s
    return Floats(
        between,
        shortest_cycle_min(between, flow),
        most_starts_h(between, flow),
        least_run_min(between, flow),
    )


def _unknown(
    lift: Lift, sump: Tank, *, let_go_m: float | None, inflow_l_s: float | None
) -> Iterator[str]:
    known = {
        "pump": lift.pump,
        "riser": lift.riser,
        "start and stop levels": None if lift.stop_m is None else lift.start_m,
        "shape of the sump": sump.shape,
        "level of the sump's floor": sump.base_m,
        "level where the riser lets go": let_go_m,
        "design storm": inflow_l_s,
    }
    yield from (name for name, value in known.items() if value is None)
