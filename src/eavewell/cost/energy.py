"""Electric energy of a day: pumps, lamps, controls, heating of pipes; days on a battery."""

from collections.abc import Iterator
from dataclasses import dataclass

from eavewell.hydraulics.lift import Lifted
from eavewell.hydraulics.pump_curve import energy_kwh_m3
from eavewell.hydraulics.service import PumpedLine
from eavewell.site.barrier import Lamp
from eavewell.site.power import Power
from eavewell.site.site import Site
from eavewell.storage.within_day import Captured

HOURS = 24.0
_YEAR_DAYS = 365.25


@dataclass(frozen=True, slots=True)
class Consumer:
    """One thing that takes power.

    running_w, start_w : None unknown. kwh_day : on an average day; None unknown.
    always : True where it never rests, as a lamp must not.
    """

    name: str
    running_w: float | None
    start_w: float | None
    kwh_day: float | None
    always: bool = False


@dataclass(frozen=True, slots=True)
class Energy:
    """Everything that takes power; kwh_day counts what is known.

    battery_days : days that the stated battery feeds it all; None without one.
    largest_start_w : most at once: the largest start with everything else running.
    """

    consumers: tuple[Consumer, ...]
    kwh_day: float
    battery_days: float | None
    largest_start_w: float | None
    unknown: tuple[str, ...]


def energy_of(
    site: Site,
    *,
    served: tuple[PumpedLine, ...] = (),
    lifted: Lifted | None = None,
    captured: tuple[Captured, ...] = (),
) -> Energy:
    """Add up what the pumps, lamps, controls and pipe heating of a site take."""
    found = (
        *_pumps(served),
        *_lifts(lifted, captured),
        *_lamps(site),
        *_standing(site.power),
    )
    kwh_day = sum(one.kwh_day or 0.0 for one in found)
    unknown = tuple(f"power of {one.name}" for one in found if one.kwh_day is None)
    battery = site.power.battery_kwh
    return Energy(
        found,
        kwh_day,
        battery / kwh_day if battery is not None and kwh_day > 0.0 and not unknown else None,
        _largest_start_w(found),
        unknown,
    )


def _pumps(served: tuple[PumpedLine, ...]) -> Iterator[Consumer]:
    for run in served:
        pump = run.line.pump
        if pump is not None:
            name = f"pump of line {run.line.name!r}"
            yield Consumer(name, pump.input_w, pump.start_w, run.kwh_day)


def _lifts(lifted: Lifted | None, captured: tuple[Captured, ...]) -> Iterator[Consumer]:
    moved = {one.lift.lift: one for one in captured}
    for duty in lifted.lifts if lifted else ():
        pump, flow_l_s = duty.lift.pump, duty.level("start").flow_l_s
        if pump is None:
            continue
        kwh_day = None
        one = moved.get(duty.lift.name)
        if one is not None and pump.input_w is not None and flow_l_s:
            l_day = float(one.captured_l.sum()) / one.captured_l.size
            kwh_day = energy_kwh_m3(flow_l_s, pump.input_w) * l_day / 1000.0
        yield Consumer(f"lift {duty.lift.name!r}", pump.input_w, pump.start_w, kwh_day)


def _lamps(site: Site) -> Iterator[Consumer]:
    """A lamp burns day and night: what passes it unlit is not treated."""
    for line in site.lines:
        for thing in line.in_line:
            if thing.kind == "lamp":
                works = thing.works
                watts = works.input_w if isinstance(works, Lamp) else None
                kwh = None if watts is None else watts * HOURS / 1000.0
                yield Consumer(f"lamp {thing.name!r}", watts, watts, kwh, always=True)


def _standing(power: Power) -> Iterator[Consumer]:
    if power.controls_w is not None:
        watts = power.controls_w
        yield Consumer("controls and alarms", watts, watts, watts * HOURS / 1000.0, always=True)
    if power.heat_trace_w is not None:
        days = power.heat_trace_days
        kwh = None if days is None else power.heat_trace_w * HOURS / 1000.0 * days / _YEAR_DAYS
        yield Consumer("pipe heating", power.heat_trace_w, power.heat_trace_w, kwh)


def _largest_start_w(found: tuple[Consumer, ...]) -> float | None:
    starts = [one.start_w or one.running_w for one in found]
    known = [
        (start, one.running_w or 0.0) for one, start in zip(found, starts, strict=True) if start
    ]
    if not known or len(known) < len(found):
        return None
    running = sum(watts for _, watts in known)
    return max(start + running - watts for start, watts in known)
