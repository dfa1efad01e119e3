"""Whether the floats of a sump stand right: in their order, and far enough apart."""

from collections.abc import Iterator

from eavewell.findings.rounding import no_less, no_more
from eavewell.hydraulics.lift import Floats, LiftDuty
from eavewell.hydraulics.sump_cycle import between_floats_l, starts_allowed
from eavewell.site.finding import COMMON, Finding
from eavewell.site.place import Show
from eavewell.storage.within_day import LEAST_BETWEEN_L
from eavewell.tables import sources, table
from eavewell.units import show


def floats_set(duty: LiftDuty, system: Show) -> Iterator[Finding]:
    """Start above stop and below the spillway; starts an hour; shortest run; drain-back."""
    yield from _in_order(duty, system)
    yield from _gives_all_back(duty, system)
    if duty.floats is not None:
        yield from _starts(duty, duty.floats, system=system)
        yield from _runs(duty, duty.floats, system=system)


def _in_order(duty: LiftDuty, system: Show) -> Iterator[Finding]:
    stop, start, spill = (duty.level(at).held_l for at in ("stop", "start", "spillway"))
    if start is not None and spill is not None and start >= spill:
        full = show(spill, "volume", system=system)
        yield _upside_down(
            "start-above-spillway",
            duty,
            says=f"It starts at {show(start, 'volume', system=system)}, the sump spills from "
            f"{full} on: the pump never starts.",
            pair=(start, spill),
            fix=f"set the start float below {no_more(spill, 'volume', system=system)}",
        )
    if start is not None and stop is not None and start < stop + LEAST_BETWEEN_L:
        apart_l = stop + LEAST_BETWEEN_L
        yield _upside_down(
            "floats-in-one-place",
            duty,
            says="Its start float stands no higher than its stop: the pump never rests.",
            pair=(start, stop),
            fix=f"set the start float at {no_less(apart_l, 'volume', system=system)} or higher",
        )


def _upside_down(
    code: str, duty: LiftDuty, *, says: str, pair: tuple[float, float], fix: str
) -> Finding:
    return Finding(
        code,
        "stop",
        f"lift {duty.lift.name!r}",
        says,
        measured=pair[0],
        limit=pair[1],
        unit="L",
        source="arithmetic of the levels",
        fix=fix,
    )


def _gives_all_back(duty: LiftDuty, system: Show) -> Iterator[Finding]:
    stop, start, back_l = duty.level("stop").held_l, duty.level("start").held_l, duty.back_l
    if stop is None or start is None or not back_l or not 0.0 < start - stop <= back_l:
        return
    yield Finding(
        "riser-gives-all-back",
        "stop",
        f"lift {duty.lift.name!r}",
        f"The riser gives back {show(back_l, 'volume', system=system)} at each stop, the floats "
        f"stand {show(start - stop, 'volume', system=system)} apart: the pump never rests.",
        measured=start - stop,
        limit=back_l,
        unit="L",
        source="the riser's volume",
        fix=f"a check valve without a weep hole, or floats more than "
        f"{no_less(back_l, 'volume', system=system)} apart",
    )


def _starts(duty: LiftDuty, floats: Floats, *, system: Show) -> Iterator[Finding]:
    allowed = starts_allowed(duty.lift.pump) if duty.lift.pump else None
    if allowed is None or floats.starts_h <= allowed.value:
        return
    yield Finding(
        "pump-starts-often",
        "fix",
        f"lift {duty.lift.name!r}",
        f"At half its flow it starts {floats.starts_h:.1f} times an hour, every "
        f"{floats.cycle_min:.1f} minutes.",
        measured=floats.starts_h,
        limit=allowed.value,
        unit="starts an hour",
        source=f"{sources()[allowed.source]['title']}: {allowed.place}",
        fix=_apart(duty, between_floats_l(_flow(duty), starts_h=allowed.value), system=system),
    )


def _runs(duty: LiftDuty, floats: Floats, *, system: Show) -> Iterator[Finding]:
    least = table("sump")["least run"].value
    if floats.run_min >= least:
        return
    yield Finding(
        "pump-runs-short",
        "watch",
        f"lift {duty.lift.name!r}",
        f"After the rain it empties the sump in {floats.run_min:.1f} minutes and stops.",
        measured=floats.run_min,
        limit=least,
        unit="minutes",
        source=COMMON,
        fix=_apart(duty, _flow(duty) * least * 60.0, system=system),
    )


def _flow(duty: LiftDuty) -> float:
    """Flow at the spillway: wherever the start float is moved to, it is no more."""
    return duty.level("spillway").flow_l_s or 0.0


def _apart(duty: LiftDuty, between_l: float, *, system: Show) -> str:
    """Volume between the floats that passes, the riser's drain-back on top."""
    apart_l = between_l + (duty.back_l or 0.0)
    words = f"{no_less(apart_l, 'volume', system=system)} between start and stop float"
    stop, spill = duty.level("stop").held_l, duty.level("spillway").held_l
    if stop is None or spill is None or stop + apart_l < spill:
        return words
    return f"{words}: a sump larger than {show(stop + apart_l, 'volume', system=system)}"
