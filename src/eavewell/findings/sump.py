"""Whether a sump's lift moves its water: head, storm, spillway, starts, captured share."""

from collections.abc import Iterable, Iterator

from eavewell.findings.lift_parts import parts_fitted
from eavewell.findings.rounding import no_less, no_more
from eavewell.findings.sump_floats import floats_set
from eavewell.hydraulics.lift import LiftDuty, Lifted
from eavewell.hydraulics.spillway import spillway_bore_mm
from eavewell.hydraulics.standard_sizes import FAMILIES, called
from eavewell.hydraulics.sump_sizes import SumpSize, next_pump, pump_that_reaches
from eavewell.site.finding import COMMON, Finding
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.storage.within_day import Captured
from eavewell.tables import table
from eavewell.units import show

BY_HAND = "arithmetic of the levels and the pump's curve"


def sump_lifts(
    site: Site,
    lifted: Lifted,
    *,
    captured: Iterable[Captured],
    sizes: dict[str, tuple[SumpSize, ...]] | None = None,
) -> Iterator[Finding]:
    """Checks on every lift out of a sump.

    captured : what each lift moves within the day, as far as it is known.
    sizes    : water captured by size of sump and pump, by lift.
    """
    found = {one.lift.lift: one for one in captured}
    for duty in lifted.lifts:
        system, name = site.place.show, duty.lift.name
        yield from _unknown(site, duty)
        yield from _reaches(duty, system)
        yield from _storm(duty, lifted, system=system)
        yield from _spillway(site, duty, system=system)
        yield from _power_out(duty, system)
        yield from floats_set(duty, system)
        yield from parts_fitted(site, duty)
        if name in found:
            yield from _captured(found[name], (sizes or {}).get(name, ()), system=system)
        else:
            yield _daily_step(duty)


def _where(duty: LiftDuty) -> str:
    return f"sump {duty.sump.name!r}"


def _unknown(site: Site, duty: LiftDuty) -> Iterator[Finding]:
    lift, missing = duty.lift, list(duty.unknown)
    others = {
        "lowest floor of the building": site.ground.floor_m,
        "check valve": lift.check_valve,
        "tank-full float": lift.full_float,
        "alarm": lift.alarm,
        "solids that reach the pump": lift.solids_mm,
    }
    if lift.pump is not None:
        others["power of the pump's motor"] = lift.pump.motor_w
    missing += [name for name, value in others.items() if value is None]
    spillway = duty.sump.fittings.overflow
    if duty.spillway_l_s is None and (spillway is not None or duty.sump.overflow_m is not None):
        missing.append("size of the spillway or its freeboard")
    if missing:
        yield Finding(
            "lift-not-checked",
            "note",
            f"lift {lift.name!r}",
            f"Not checked: {', '.join(missing)} unknown.",
        )


def _reaches(duty: LiftDuty, system: Show) -> Iterator[Finding]:
    """The pump must move water down to the level at which it is to stop."""
    pump, stop = duty.lift.pump, duty.level("stop")
    if pump is None or stop.static_m is None or stop.flow_l_s != 0.0:
        return
    says = (
        "it moves no water at all."
        if duty.never_lifts
        else "it never draws the sump down to its stop and runs on without moving water."
    )
    other = pump_that_reaches(duty)
    yield Finding(
        "pump-below-head",
        "stop",
        f"lift {duty.lift.name!r}",
        f"From its stop level the water rises {show(stop.static_m, 'length', system=system)}; "
        f"{pump.name} reaches {show(pump.shut_off_m, 'length', system=system)} at no flow: {says}",
        measured=stop.static_m,
        limit=pump.shut_off_m,
        unit="m",
        source=BY_HAND,
        fix=f"a pump as strong as the generic {other.name}" if other else "let go lower",
    )


def _storm(duty: LiftDuty, lifted: Lifted, *, system: Show) -> Iterator[Finding]:
    flow, inflow = duty.level("spillway").flow_l_s, duty.inflow_l_s
    if not flow or inflow is None or inflow <= flow:
        return
    keeps_up = flow * 3600.0 / duty.roof_m2
    other = next_pump(duty, inflow)
    yield Finding(
        "sump-below-storm",
        "watch",
        _where(duty),
        f"The storm of {lifted.minutes:g} minutes once in {lifted.years:g} years brings "
        f"{show(inflow, 'flow', system=system)}, the pump moves "
        f"{show(flow, 'flow', system=system)}: it keeps up to "
        f"{show(keeps_up, 'intensity', system=system)}, the rest leaves by the spillway.",
        measured=inflow,
        limit=flow,
        unit="L/s",
        source="pump and riser against the design storm",
        fix=f"a pump as strong as the generic {other.name}"
        if other
        else "accept the spillway: no generic pump keeps up",
    )


def _spillway(site: Site, duty: LiftDuty, *, system: Show) -> Iterator[Finding]:
    sump, spill_m, floor_m = duty.sump, duty.spillway_m, site.ground.floor_m
    if sump.fittings.overflow is None and sump.overflow_m is None:
        yield Finding(
            "sump-no-spillway",
            "stop",
            _where(duty),
            "No spillway is described: when the pump or the power fails in a storm the water "
            "stands over the rim.",
            source=COMMON,
            fix="a spillway by gravity, sized for the whole storm, below the building's floor",
        )
    elif spill_m is not None and floor_m is not None and spill_m >= floor_m:
        yield Finding(
            "spillway-above-floor",
            "stop",
            _where(duty),
            f"The sump spills at {show(spill_m, 'level', system=system)}, the building's lowest "
            f"floor lies at {show(floor_m, 'level', system=system)}: it floods before the sump "
            "spills.",
            measured=spill_m,
            limit=floor_m,
            unit="m",
            source=COMMON,
            fix=f"bring the spillway below {show(floor_m, 'level', system=system)}",
        )
    yield from _spillway_size(duty, system)


def _spillway_size(duty: LiftDuty, system: Show) -> Iterator[Finding]:
    carries, inflow = duty.spillway_l_s, duty.inflow_l_s
    if carries is None or inflow is None or carries >= inflow:
        return
    bore_mm = spillway_bore_mm(duty.sump, inflow, family=FAMILIES[system])
    yield Finding(
        "spillway-too-small",
        "stop",
        _where(duty),
        f"With the pump standing still the storm brings {show(inflow, 'flow', system=system)}; "
        f"the spillway carries {show(carries, 'flow', system=system)} before the rim runs over.",
        measured=inflow,
        limit=carries,
        unit="L/s",
        source="opening under the head to the rim, half of it where screened, and its pipe",
        fix=f"a spillway of {called(bore_mm)}"
        if bore_mm
        else "a lower or an open spillway: no single pipe carries it at this freeboard",
    )


def _power_out(duty: LiftDuty, system: Show) -> Iterator[Finding]:
    start, least = duty.level("start"), table("sump")["time to act"].value
    if start.overtop_min is None or start.held_l is None or start.overtop_min >= least:
        return
    assert duty.inflow_l_s is not None
    needed_l = duty.inflow_l_s * least * 60.0
    yield Finding(
        "sump-spills-soon",
        "watch",
        _where(duty),
        f"With the power out in the design storm it spills {start.overtop_min:.1f} minutes after "
        "its start level.",
        measured=start.overtop_min,
        limit=least,
        unit="minutes",
        source=COMMON,
        fix=f"{no_less(needed_l, 'volume', system=system)} between start and spillway, or count "
        "on the spillway",
    )


def _captured(
    captured: Captured, sizes: tuple[SumpSize, ...], *, system: Show
) -> Iterator[Finding]:
    least, share = table("sump")["captured share"].value, captured.captured_share
    if share is None or share >= least:
        return
    ways = [size for size in sizes if size.captured_share >= least]
    yield Finding(
        "sump-captures-little",
        "watch",
        f"sump {captured.lift.sump!r}",
        f"Over the record the lift moves {no_more(share, 'share', system=system)} of the sump's "
        "water; the rest leaves by its spillway, nearly all of it in the largest storms.",
        measured=share,
        limit=least,
        unit="share",
        source=COMMON,
        fix=f"a sump of {no_less(ways[0].sump_l, 'volume', system=system)} with {ways[0].pump.name}"
        if ways
        else "no generic pump and sump of up to four times the size captures so much",
    )


def _daily_step(duty: LiftDuty) -> Finding:
    return Finding(
        "sump-on-a-daily-step",
        "watch",
        _where(duty),
        "What its lift captures within the day is not reckoned: on a daily step the sump spills "
        "before the lift runs, so this figure for the water caught is on the low side in gentle "
        "rain; a cloudburst or a power cut may still overtop it.",
        fix="describe the sump's shape, its pump, riser, floats and levels; only roofs may fill it "
        "and only one lift empty it, until its tank is full",
    )
