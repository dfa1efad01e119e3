"""Whether a line with a pump serves every tap: peak flow, pressure, speed, what it passes."""

from collections.abc import Iterator
from math import sqrt

from eavewell.findings.rounding import no_less
from eavewell.findings.service_plumbing import plumbing_safe
from eavewell.findings.service_pump import pump_runs_well
from eavewell.hydraulics.service import PumpedLine
from eavewell.hydraulics.service_outlets import limited_l_s
from eavewell.hydraulics.standard_sizes import FAMILIES, next_pipe
from eavewell.site.finding import Finding
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.tables import sources
from eavewell.units import show

BUDGET = "pressure budget at peak flow"


def service_holds(site: Site, served: tuple[PumpedLine, ...]) -> Iterator[Finding]:
    """Checks on every line with a pump: its taps, its pump and pressure tank, its plumbing."""
    system = site.place.show
    for run in served:
        yield from _unknown(run)
        yield from _peak(run, system)
        yield from _above(run, system)
        yield from _short(run, system)
        yield from pump_runs_well(site, run)
        yield from _speeds(run, system)
        yield from _passed(run, system)
        yield from plumbing_safe(run)


def _where(run: PumpedLine) -> str:
    return f"line {run.line.name!r}"


def _unknown(run: PumpedLine) -> Iterator[Finding]:
    if run.unknown:
        says = f"Not checked: {', '.join(run.unknown)} unknown."
        yield Finding("service-not-checked", "note", _where(run), says)


def _peak(run: PumpedLine, system: Show) -> Iterator[Finding]:
    pump, peak = run.pump, run.peak.flow_l_s
    if pump is None or pump.asked_l_s >= peak * (1.0 - 1e-6) or run.line.pump is None:
        return
    at = show(pump.asked_m, "pressure", system=system)
    on_demand = run.line.control == "on demand"
    larger = (
        f"{pump.smallest} pump" if pump.smallest else "no pump of its kind in the list gives that"
    )
    yield Finding(
        "pump-below-peak",
        "fix",
        _where(run),
        f"At {at} with the tank low the pump gives less than the line draws at its peak.",
        measured=pump.asked_l_s,
        limit=peak,
        unit="L/s",
        source="peak flow by chance, 99 of 100 moments, and the largest steady draw beside",
        fix=larger if on_demand else f"{larger}, or lower pressures at its switch",
    )


def _above(run: PumpedLine, system: Show) -> Iterator[Finding]:
    pump, line = run.pump, run.line
    if pump is None or line.pump_m is None:
        return
    for outlet in line.outlets:
        if outlet.level_m is None or outlet.level_m - line.pump_m < pump.reach_m:
            continue
        needed = outlet.level_m - line.pump_m
        yield Finding(
            "outlet-above-reach",
            "stop",
            f"outlet {outlet.name!r}",
            "It stands higher than the pump reaches at no flow: nothing comes.",
            measured=pump.reach_m,
            limit=needed,
            unit="m",
            source="arithmetic of the levels and the pump's shut-off head",
            fix=f"{no_less(needed - pump.reach_m, 'length', system=system)} and what it needs "
            "lower, or a pump of more head",
        )


def _short(run: PumpedLine, system: Show) -> Iterator[Finding]:
    """The outlet with least to spare: raising the pressure by what is missing mends it.

    On demand the pump itself is judged by what this outlet needs.
    """
    found = run.budget
    if found is None or found.spare_m >= -1e-9 or run.line.control == "on demand":
        return
    clean = found.clean_m >= found.needs.head_m
    more = no_less(-found.spare_m, "pressure", system=system)
    yield Finding(
        "outlet-short-of-pressure",
        "watch" if clean else "fix",
        f"outlet {found.outlet.name!r}",
        f"At peak flow with {'dirty' if clean else 'even clean'} filters it has less pressure "
        "than it needs.",
        measured=found.dirty_m,
        limit=found.needs.head_m,
        unit="m of water",
        source=f"{BUDGET}; {sources()['ipc_2018_water']['title']}",
        fix=f"{more} more at the switch or controller, wider pipe"
        + (", or filters changed sooner" if clean and run.line.in_line else ""),
    )


def _speeds(run: PumpedLine, system: Show) -> Iterator[Finding]:
    for pipe in run.speeds:
        if pipe.speed_m_s <= pipe.most_m_s * (1.0 + 1e-9):
            continue
        least_mm = pipe.pipe.bore_mm * sqrt(pipe.speed_m_s / pipe.most_m_s)
        yield Finding(
            "water-too-fast",
            "watch",
            f"{_where(run)}, {pipe.what}",
            f"At {show(pipe.flow_l_s, 'flow', system=system)} it hammers, sings and wears.",
            measured=pipe.speed_m_s,
            limit=pipe.most_m_s,
            unit="m/s",
            source=sources()["pipe_speed_pages"]["title"],
            fix=f"{next_pipe(least_mm, FAMILIES[system])} pipe",
        )


def _passed(run: PumpedLine, system: Show) -> Iterator[Finding]:
    """What stands in the line against everything open at cut-out, not the probable demand."""
    for thing in run.line.in_line:
        most = limited_l_s(run.line, run.largest_flow_l_s, at=thing)
        if most is None or thing.most_l_s is None or most <= thing.most_l_s:
            continue
        limit = show(thing.most_l_s, "flow", system=system)
        yield Finding(
            "too-much-through",
            "fix" if thing.kind == "lamp" else "watch",
            f"{thing.kind} {thing.name!r}",
            "With everything open at the highest pressure more passes than it may.",
            measured=most,
            limit=thing.most_l_s,
            unit="L/s",
            source="the line solved with everything open; the maker's most flow",
            fix=f"a flow limiter of {limit} before it, or a {thing.kind} that may pass "
            f"{no_less(most, 'flow', system=system)}",
        )
