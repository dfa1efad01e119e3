"""Whether a line's pump stops, starts seldom enough, never runs dry and gets its water."""

from collections.abc import Iterator

from eavewell.findings.rounding import no_less, no_more
from eavewell.hydraulics.line_network import leaves_m, needs_of
from eavewell.hydraulics.pressure_tank import precharge_rule_m
from eavewell.hydraulics.service import PumpedLine
from eavewell.hydraulics.service_pump import must_reach_m
from eavewell.hydraulics.service_tank import at_tank_m
from eavewell.site.finding import COMMON, Change, Finding
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.tables import sources, table
from eavewell.units import read, show

DECIDES = "Screening, not design approval; a licensed electrician decides."


def pump_runs_well(site: Site, run: PumpedLine) -> Iterator[Finding]:
    """Checks on the pump of one line, its control and its pressure tank."""
    system = site.place.show
    yield from _stops(run, system)
    yield from _dry_run(site, run)
    yield from _suction(run, system)
    yield from _precharge(run, system)
    yield from _starts(run, system)
    yield from _small_draws(run, system)
    yield from _drips(run, system)


def _where(run: PumpedLine) -> str:
    return f"line {run.line.name!r}"


def _says(run: PumpedLine, *way: str) -> tuple[Change, ...]:
    """A field of the line, and last what it should say."""
    *fields, value = way
    return ((("line", run.line.name, *fields), value),)


def _stops(run: PumpedLine, system: Show) -> Iterator[Finding]:
    line, pump = run.line, run.pump
    if pump is None or line.cut_out_m is None or line.control == "on demand":
        return
    if pump.reach_m >= must_reach_m(line):
        return
    never = pump.reach_m <= line.cut_out_m
    larger = f"a {pump.smallest} pump" if pump.smallest else "a pump of more head"
    lower = line.cut_out_m * pump.reach_m / must_reach_m(line)
    changes: tuple[Change, ...] = ()
    lowest = line.cut_in_m if line.control == "switch" and line.cut_in_m is not None else 0.0
    if lower > lowest:
        shown = no_more(lower, "pressure", system=system)
        larger, changes = f"cut-out of at most {shown}, or {larger}", _says(run, "cut_out", shown)
    yield Finding(
        "pump-never-stops" if never else "cut-out-near-reach",
        "stop" if never else "watch",
        _where(run),
        (
            "With the tank low the pump does not reach its cut-out: it never stops and boils "
            f"itself. {DECIDES}"
            if never
            else f"A pump a little worn will not reach its cut-out and will not stop. {DECIDES}"
        ),
        measured=pump.reach_m,
        limit=must_reach_m(line),
        unit="m of water",
        source=f"the pump's shut-off head; {COMMON}",
        fix=larger,
        changes=changes,
    )


def _dry_run(site: Site, run: PumpedLine) -> Iterator[Finding]:
    line, tank = run.line, {one.name: one for one in site.tanks}.get(run.line.source)
    if line.dry_run_m is None:
        return
    leaves = leaves_m(tank, line) if tank else None
    least = leaves - tank.base_m if tank and leaves is not None and tank.base_m is not None else 0.0
    if line.dry_run_m > 0.0 and line.dry_run_m >= least - 1e-9:
        return
    none = line.dry_run_m == 0.0
    over = no_less(max(least, 0.0), "length", system=site.place.show)
    yield Finding(
        "pump-runs-dry",
        "fix",
        _where(run),
        "Nothing stops the pump when its tank is empty"
        + (". " if none else ": the cut-off lies below the outlet. ")
        + DECIDES,
        measured=None if none else line.dry_run_m,
        limit=None if none else least,
        unit="" if none else "m",
        source=COMMON,
        fix="a low-level or low-pressure cut-off at or above the level where the line leaves the "
        f"tank, {over} over its floor",
        changes=_says(run, "dry_run", over) if least > 0.0 else (),
    )


def _suction(run: PumpedLine, system: Show) -> Iterator[Finding]:
    found, pump = run.suction, run.line.pump
    if found is None or pump is None:
        return
    if pump.kind == "jet" and found.lift_m > found.practical_m + 1e-9:
        yield Finding(
            "suction-lift-too-high",
            "stop",
            _where(run),
            "The pump stands higher over the low water than a jet pump lifts in practice.",
            measured=found.lift_m,
            limit=found.practical_m,
            unit="m",
            source=COMMON,
            fix=f"the pump {no_less(found.lift_m - found.practical_m, 'length', system=system)} "
            "lower, or a pump in the tank",
        )
    elif found.needed_m is not None and found.available_m < found.needed_m - 1e-9:
        short = no_less(found.needed_m - found.available_m, "length", system=system)
        yield Finding(
            "suction-head-short",
            "fix",
            _where(run),
            "At its largest flow the pump gets too little head at its eye, and cavitates.",
            measured=found.available_m,
            limit=found.needed_m,
            unit="m",
            source="net positive suction head; the maker's need",
            fix=f"the pump {short} lower, or a wider and shorter suction pipe",
        )


def _precharge(run: PumpedLine, system: Show) -> Iterator[Finding]:
    tank, asked = run.line.pressure_tank, _asked_precharge_m(run)
    if tank is None or tank.precharge_m is None or asked is None:
        return
    low, rule, high = asked
    if low - 1e-6 <= tank.precharge_m <= high + 1e-6:
        return
    air = show(rule, "pressure", system=system)
    yield Finding(
        "precharge-wrong",
        "fix",
        f"pressure tank of line {run.line.name!r}",
        "Too much air: the tank is empty before the pump starts, and the taps cough."
        if tank.precharge_m > high
        else "Too little air: it gives less water, and its bladder is stretched.",
        measured=tank.precharge_m,
        limit=high if tank.precharge_m > high else low,
        unit="m of water",
        source=sources()["pressure_tank_pages"]["title"],
        fix=f"{air} of air, set with the tank empty of water",
        changes=_says(run, "pressure_tank", "precharge", air),
    )


def _asked_precharge_m(run: PumpedLine) -> tuple[float, float, float] | None:
    """Least, rule and most air of the pressure tank by the line's control; None unknown."""
    rules, line = table("service"), run.line
    if line.control == "variable speed":
        held, share = line.cut_out_m, rules["precharge of held"]
        if held is None:
            return None
        return share.low * held, share.value * held, share.high * held
    heads = at_tank_m(line)
    cut_in = line.cut_in_m if heads is None else heads[0]
    if cut_in is None:
        return None
    below = rules["precharge below cut-in"]
    psi = read("1 psi", "pressure")
    low, high = max(cut_in - below.high * psi, 0.0), max(cut_in - below.low * psi, 0.0)
    return low, precharge_rule_m(cut_in), high


def _starts(run: PumpedLine, system: Show) -> Iterator[Finding]:
    line, tank = run.line, run.tank
    if line.control == "switch" and line.pressure_tank is None:
        yield Finding(
            "no-pressure-tank",
            "fix",
            _where(run),
            f"A switch without a pressure tank starts the pump at every drip. {DECIDES}",
            source=COMMON,
            fix="a pressure tank, or an on-demand or variable-speed control",
        )
    if tank is None or tank.needed_l is None:
        return
    often = tank.starts_allowed_h is not None and (
        tank.starts_h is None or tank.starts_h > tank.starts_allowed_h * (1.0 + 1e-9)
    )
    short = tank.least_run_min is not None and tank.run_min < tank.least_run_min * (1.0 - 1e-9)
    if not often and not short:
        return
    size = no_less(tank.needed_l, "volume", system=system)
    air = show(tank.rule_m, "pressure", system=system)
    yield Finding(
        "pressure-tank-small",
        "fix",
        f"pressure tank of line {line.name!r}",
        f"The pump starts too often or runs too short: it wears its motor. {DECIDES}",
        measured=tank.run_min if short else tank.starts_h,
        limit=tank.least_run_min if short else tank.starts_allowed_h,
        unit="min" if short else "starts an hour",
        source=sources()["pressure_tank_pages" if short else "pressure_tank_copy"]["title"],
        fix=f"a pressure tank of {size} with {air} of air",
        changes=(
            *_says(run, "pressure_tank", "size", size),
            *_says(run, "pressure_tank", "precharge", air),
        ),
    )


def _small_draws(run: PumpedLine, system: Show) -> Iterator[Finding]:
    line = run.line
    if line.control != "on demand" or not line.outlets:
        return
    rule = table("service")["least flow on demand"]
    limit = read(f"{rule.value:g} gal/min", "flow")
    limit = max(limit, line.pump.least_l_s if line.pump else 0.0)
    flow, name = min((needs_of(outlet).flow_l_s, outlet.name) for outlet in line.outlets)
    if flow < limit:
        yield Finding(
            "draw-below-least-flow",
            "watch",
            f"outlet {name!r}",
            "It draws less than the controller sees or the pump may run at: the flow pulses.",
            measured=flow,
            limit=limit,
            unit="L/s",
            source=COMMON,
            fix=f"an outlet of {no_less(limit, 'flow', system=system)}, or a switch with a "
            "pressure tank",
        )


def _drips(run: PumpedLine, system: Show) -> Iterator[Finding]:
    """On demand and at variable speed a leak starts the pump again and again."""
    if run.line.control == "switch" or run.line.pressure_tank is not None:
        return
    size = read(f"{table('service')['tank beside on demand'].value:g} gal", "volume")
    yield Finding(
        "leak-cycles-pump",
        "watch",
        _where(run),
        f"Without a tank beside it a dripping tap starts the pump again and again. {DECIDES}",
        source=COMMON,
        fix=f"a pressure tank of {show(size, 'volume', system=system)} after the pump",
    )
