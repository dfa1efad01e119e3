"""Everything on a site that wears a label, walked from the roof to the taps."""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from eavewell.site.line import InLine, Line
from eavewell.site.outlet import Outlet
from eavewell.site.pipe import Pipe
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.site.use import Use
from eavewell.tables import rows, table
from eavewell.treatment.barriers import DISINFECTS
from eavewell.treatment.order import uses_of
from eavewell.units import show

# the others are there once, for the whole row of tanks
_EACH_TANK = ("tank", "hatch", "drain")
_IN_LINE = ("shut valve", "lamp", "chlorine", "test point", "backflow device")


@dataclass(frozen=True, slots=True)
class Wears:
    """One thing that wears a label.

    what, end_use : a row of tables/label_words.csv. bore_mm : of a pipe; None for what is none.
    tank, line, volume : what the words may name; "" where they do not.
    """

    what: str
    end_use: str
    where: str
    count: int
    counted: str
    bore_mm: float | None = None
    tank: str = ""
    line: str = ""
    volume: str = ""


def places(site: Site, judged: frozenset[str] = frozenset()) -> Iterator[Wears]:
    """All that wears a label, in the order in which one walks it.

    judged : names of the uses whose water is judged for drinking.
    """
    for run in site.runs:
        if not run.cover_m:
            yield _on_pipe(site, run.pipe, of=run.name, what="roof water pipe", end_use="any")
    for tank in site.tanks:
        yield from _at_tank(site, tank)
    for lift in site.lifts:
        if lift.riser is not None and lift.source != "mains":
            yield _on_pipe(site, lift.riser, of=lift.name, what="pipe", end_use="any")
    for line in site.lines:
        yield from _on_line(site, line, judged=judged)


def _at_tank(site: Site, tank: Tank) -> Iterator[Wears]:
    each_l = tank.stated_l or tank.rim_l / tank.count
    volume = show(each_l, "volume", system=site.place.show) if each_l else "volume unknown"
    for what in _tank_wears(site, tank):
        count = tank.count if what in _EACH_TANK else 1
        counted = f"{count} at {tank.name}"
        yield Wears(what, "any", tank.name, count, counted, tank=tank.name, volume=volume)


def _tank_wears(site: Site, tank: Tank) -> Iterator[str]:
    fitted = tank.fittings
    yield from ("tank", "hatch")
    if not any(line.source == tank.name for line in site.lines) and _is_drawn(site, tank):
        yield "tap"
    if fitted.make_up_l_s or any(_from_mains(site, tank)):
        yield "make-up"
    if any(hauling.to == tank.name for hauling in site.hauling):
        yield "truck fill"
    if fitted.drain_mm:
        yield "drain"
    if tank.fire_reserve is not None:
        yield "fire reserve"


def _is_drawn(site: Site, tank: Tank) -> bool:
    return any(tank.name in use.draws_from for use in site.uses)


def _from_mains(site: Site, tank: Tank) -> Iterator[bool]:
    return (lift.source == "mains" and lift.target == tank.name for lift in site.lifts)


def _on_line(site: Site, line: Line, *, judged: frozenset[str]) -> Iterator[Wears]:
    end_use = class_of(line, uses_of(site, line), judged=judged)
    yield Wears(
        "outlet valve", "any", line.name, 1, f"1 at {line.name}", tank=line.source, line=line.name
    )
    for thing in line.in_line:
        yield from _in_line(line, thing)
    yield from _pipes(site, line, end_use=end_use)
    for outlet in line.outlets:
        yield from _at_outlet(outlet, end_use=end_use)
    for lateral in line.laterals:
        yield _one("drip", lateral.name, end_use="outdoor")
    for trough in line.troughs:
        yield _one("trough", trough.name, end_use="animals")


def class_of(line: Line, uses: Iterable[Use], *, judged: frozenset[str]) -> str:
    """The class whose words the taps of a line wear; never drinking by default.

    "drinking" only where every use that drinks is judged and the line kills germs, else "not yet";
    "any" where nobody is known to draw from it.
    """
    found = {use.end_use for use in uses}
    if "drinking" in found:
        treats = any(thing.kind in DISINFECTS for thing in line.in_line)
        drinks = {use.name for use in uses if use.end_use == "drinking"}
        return "drinking" if treats and drinks <= judged else "not yet"
    return next((one for one in ("indoor", "outdoor", "animals") if one in found), "any")


def _in_line(line: Line, thing: InLine) -> Iterator[Wears]:
    if thing.kind in _IN_LINE:
        yield _one(thing.kind, thing.name, line=line.name)
    if thing.bypass:
        yield _one("bypass", thing.name, line=line.name)


def _one(what: str, where: str, *, end_use: str = "any", line: str = "") -> Wears:
    return Wears(what, end_use, where, 1, f"1 at {where}", tank=where, line=line)


def _at_outlet(outlet: Outlet, *, end_use: str) -> Iterator[Wears]:
    """Its sign; a hose end is never one for drinking, and a fixture nobody drinks at needs none."""
    what = fixture_wears().get(outlet.fixture, "tap")
    if what == "hose":
        end_use = "animals" if end_use == "animals" else "outdoor"
    if what == "appliance" and end_use == "drinking":
        return
    yield Wears(what, end_use, outlet.name, outlet.count, f"{outlet.count} at {outlet.name}")


def fixture_wears() -> dict[str, str]:
    """Which row of words each fixture of tables/outlets.csv wears."""
    return {row["fixture"]: row["what"] for row in rows("label_outlets")}


def _pipes(site: Site, line: Line, *, end_use: str) -> Iterator[Wears]:
    """Labels along a line's pipes; what lies before the last barrier is never for drinking."""
    treated = "drinking" if end_use == "drinking" else "any"
    if line.suction is not None:
        of = f"the suction of {line.name}"
        yield _on_pipe(site, line.suction, of=of, what="pipe", end_use="any")
    if treated == "drinking":
        of, counted = line.name, f"1 before the last barrier of {line.name}"
        yield Wears("pipe", "any", of, 1, counted, bore_mm=line.main.bore_mm)
    yield _on_pipe(site, line.main, of=line.name, what="pipe", end_use=treated)
    for outlet in line.outlets:
        if outlet.branch is not None:
            of = f"the branch to {outlet.name}"
            one = _on_pipe(site, outlet.branch, of=of, what="pipe", end_use=treated)
            yield one if outlet.count == 1 else _times(one, outlet.count)


def _on_pipe(site: Site, pipe: Pipe, *, of: str, what: str, end_use: str) -> Wears:
    """One label in every stretch of the table's length, so that no two are further apart."""
    every_m = table("label_figures")["pipe label every"].value
    count = max(math.ceil(pipe.length_m / every_m - 1e-9), 1)
    system = site.place.show
    counted = (
        f"{count} along {show(pipe.length_m, 'length', system=system)} of {of}, "
        f"one in each {show(every_m, 'length', system=system)}"
    )
    return Wears(what, end_use, of, count, counted, bore_mm=pipe.bore_mm)


def _times(one: Wears, times: int) -> Wears:
    return replace(one, count=one.count * times, counted=f"{times} times {one.counted}")
