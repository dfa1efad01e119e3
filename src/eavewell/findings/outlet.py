"""Whether gravity brings water to every tap, plant and trough when the tank is low."""

from collections.abc import Iterator

from eavewell.findings.rounding import no_less, no_more
from eavewell.hydraulics.drip import LateralRun, waters_evenly
from eavewell.hydraulics.gravity import GravityLine, OutletRun
from eavewell.hydraulics.troughs import TroughRun
from eavewell.site.finding import COMMON, Finding
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.tables import sources, table
from eavewell.units import show

GRAVITY = "the line solved with the tank low, its filters due"


def outlets_run(site: Site, lines: tuple[GravityLine, ...]) -> Iterator[Finding]:
    """Checks on gravity lines: taps, drip laterals, troughs and bowls."""
    system = site.place.show
    for line in lines:
        yield from _unknown(line)
        for outlet in line.outlets:
            yield from _outlet(outlet, system)
        for lateral in line.laterals:
            yield from _even(lateral, system)
            yield from _in_a_day(lateral)
            yield from _filter(lateral, system)
        for trough in line.troughs:
            yield from _refill(trough, system)
            yield from _stores(trough, system)
            yield from _edge(site, trough, system=system)
            yield from _stuck(trough, system)
            yield from _ramp(trough)


def _unknown(line: GravityLine) -> Iterator[Finding]:
    if line.unknown:
        says = f"Not checked: {', '.join(line.unknown)} unknown."
        yield Finding("line-not-checked", "note", f"line {line.line.name!r}", says)


def _outlet(run: OutletRun, system: Show) -> Iterator[Finding]:
    flow, needed = run.flow_l_s[2], run.needs.flow_l_s * run.outlet.count
    where = f"outlet {run.outlet.name!r}"
    if run.static_m[2] <= 0.0:
        yield Finding(
            "outlet-above-water",
            "fix",
            where,
            "It stands above the water of the low tank: nothing comes.",
            measured=run.static_m[2],
            limit=0.0,
            unit="m",
            source="arithmetic of the levels",
            fix=_higher(run, system),
        )
    elif flow < needed:
        yield Finding(
            "outlet-weak",
            "watch",
            where,
            f"With the tank low it gives {show(flow, 'flow', system=system)}; "
            f"the water stands {show(run.static_m[2], 'length', system=system)} over it.",
            measured=flow,
            limit=needed,
            unit="L/s",
            source=f"{GRAVITY}; what {run.outlet.fixture} needs",
            fix=_higher(run, system),
        )


def _higher(run: OutletRun, system: Show) -> str:
    if not run.lower_m:
        return "a wider and shorter line"
    more = no_less(run.lower_m, "length", system=system)
    return f"the outlet {more} lower or the tank as much higher, or a wider and shorter line"


def _even(run: LateralRun, system: Show) -> Iterator[Finding]:
    if waters_evenly(run.low):
        return
    rule = table("drip")
    weak = run.low.least_share < rule["flow share"].value
    measured, limit, what = (
        (run.low.least_share, rule["flow share"].value, "of its rated flow at the least plant")
        if weak
        else (run.low.emission or 0.0, rule["even enough"].value, "emission uniformity")
    )
    yield Finding(
        "drip-uneven",
        "fix",
        f"lateral {run.lateral.name!r}",
        f"With the tank low it has {show(measured, 'share', system=system)} {what}.",
        measured=measured,
        limit=limit,
        unit="share",
        source=COMMON,
        fix=_even_fix(run, system),
    )


def _even_fix(run: LateralRun, system: Show) -> str:
    ways = []
    if run.raise_m:
        ways.append(f"the tank {no_less(run.raise_m, 'length', system=system)} higher")
    if run.carries is not None and run.carries < run.lateral.plants:
        ways.append(f"at most {run.carries} plants on one line")
    ways.append("emitters made for low pressure")
    return ", or ".join(ways)


def _in_a_day(run: LateralRun) -> Iterator[Finding]:
    most = table("drip")["longest run"].value
    if run.hours is not None and run.hours > most:
        yield Finding(
            "drip-too-slow",
            "watch",
            f"lateral {run.lateral.name!r}",
            "It gives the least plant its peak day's water only in a long run, the tank half full.",
            measured=run.hours,
            limit=most,
            unit="h",
            source=COMMON,
            fix="emitters of a larger flow"
            if run.each_needed is None
            else f"{run.each_needed} emitters at each plant",
        )


def _filter(run: LateralRun, system: Show) -> Iterator[Finding]:
    lateral = run.lateral
    passage, mesh = lateral.emitter.passage_mm, lateral.mesh_mm
    where = f"lateral {lateral.name!r}"
    if mesh is None or passage is None:
        says = "Not checked: mesh of its filter or narrowest way of its emitters unknown."
        yield Finding("drip-filter-unknown", "note", where, says)
        return
    most = table("drip")["filter to passage"].value * passage
    if mesh == 0.0 or mesh > most * (1.0 + 1e-9):
        falling = show(table("drip")["flow falling"].value, "share", system=system)
        yield Finding(
            "drip-filter",
            "fix",
            where,
            f"{'It has no filter' if mesh == 0.0 else 'Its filter is too coarse'}; a flow that has "
            f"fallen by {falling} says that its emitters clog.",
            measured=mesh if mesh else None,
            limit=most if mesh else None,
            unit="mm of mesh" if mesh else "",
            source=COMMON,
            fix=f"a filter of {no_more(most, 'mesh', system=system)} or finer before it",
        )


def _refill(run: TroughRun, system: Show) -> Iterator[Finding]:
    if run.needs_l_s is None or run.refill_l_s >= run.needs_l_s:
        return
    hours = "a quarter of the day in an hour" if run.way == "herd" else "the day in four hours"
    yield Finding(
        "trough-refills-slowly",
        "fix",
        f"trough {run.trough.name!r}",
        f"With the tank low it refills too slowly for stock that come "
        f"{'as a herd' if run.way == 'herd' else 'singly'}: {hours}.",
        measured=run.refill_l_s,
        limit=run.needs_l_s,
        unit="L/s",
        source=sources()["osu_anr12"]["title"],
        fix=f"a valve and line of {no_less(run.needs_l_s, 'flow', system=system)} with the tank "
        "low: wider pipe, a larger valve or a higher tank",
    )


def _stores(run: TroughRun, system: Show) -> Iterator[Finding]:
    if run.trough.volume_l < run.stored_l:
        yield Finding(
            "trough-too-small",
            "fix",
            f"trough {run.trough.name!r}",
            "A herd that comes at once finds less than a quarter of its day's water.",
            measured=run.trough.volume_l,
            limit=run.stored_l,
            unit="L",
            source=sources()["osu_anr12"]["title"],
            fix=f"{no_less(run.stored_l, 'volume', system=system)} in troughs",
        )


def _edge(site: Site, run: TroughRun, *, system: Show) -> Iterator[Finding]:
    head = _head(site, run.trough.waters)
    rule = table("troughs")
    if run.way != "herd" or run.trough.edge_m is None or not head:
        return
    needed = max(1.0, head * rule["drinking together"].value) * rule["edge of one"].value
    if run.trough.edge_m < needed:
        yield Finding(
            "trough-edge-short",
            "watch",
            f"trough {run.trough.name!r}",
            f"Of {head:g} head those that drink together find no room.",
            measured=run.trough.edge_m,
            limit=needed,
            unit="m",
            source=COMMON,
            fix=f"{no_less(needed, 'length', system=system)} of edge",
        )


def _head(site: Site, name: str) -> float:
    uses = [use for use in site.uses if use.name == name]
    return sum(float(getattr(want, "head", 0.0)) for use in uses for want in use.wants)


def _stuck(run: TroughRun, system: Show) -> Iterator[Finding]:
    limit = table("troughs")["stuck hours"].value
    if run.stuck_h is None or run.stuck_h >= limit:
        return
    slow = run.open_l_s * run.stuck_h / limit
    enough = run.needs_l_s is None or slow >= run.needs_l_s
    limiter = f", or a flow limiter of {no_more(3600.0 * slow, 'bleed', system=system)}"
    yield Finding(
        "float-stuck",
        "watch",
        f"trough {run.trough.name!r}",
        f"A float that sticks open empties the full tank in {run.stuck_h:.0f} hours.",
        measured=run.stuck_h,
        limit=limit,
        unit="h",
        source=COMMON,
        fix="a higher outlet for this line or a valve that gives a day's water"
        + (limiter if enough else ""),
    )


def _ramp(run: TroughRun) -> Iterator[Finding]:
    if run.trough.ramp is False:
        yield Finding(
            "trough-without-way-out",
            "watch",
            f"trough {run.trough.name!r}",
            "Small animals that fall in drown and foul the water.",
            source=COMMON,
            fix="a ramp or a rough board to climb out by",
        )
    elif run.trough.ramp is None:
        says = "Not checked: whether small animals can climb out unknown."
        yield Finding("trough-way-out-unknown", "note", f"trough {run.trough.name!r}", says)
