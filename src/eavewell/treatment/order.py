"""What the water passes from the roof to the tap, in the order of flow."""

from dataclasses import dataclass

from eavewell.site.line import InLine, InLineKind, Line
from eavewell.site.site import Site
from eavewell.site.use import Use

CARTRIDGES: tuple[InLineKind, ...] = ("filter", "carbon")


@dataclass(frozen=True, slots=True)
class Passed:
    """One place on the way; kind is a word of the trade, thing is set for what stands in a line."""

    kind: str
    name: str
    thing: InLine | None = None


def order_of(site: Site, line: Line) -> tuple[Passed, ...]:
    """Everything from the roofs to the taps of one line."""
    return (*before_the_tank(site, line.source), *in_the_line(line), Passed("taps", line.name))


def before_the_tank(site: Site, tank: str) -> tuple[Passed, ...]:
    """Screens, first flush and inlet on the way into a tank, the tank, and how it is drawn."""
    found: list[Passed] = []
    for roof in site.roofs:
        if roof.drains_to and tank in reached_from(site, roof.drains_to):
            found += [Passed("roof screen", screen.name) for screen in roof.screens]
            if roof.first_flush is not None:
                found.append(Passed("first flush", roof.name))
    own = {one.name: one for one in site.tanks}.get(tank)
    if own is not None and own.fittings.calmed_inlet:
        found.append(Passed("calmed inlet", tank))
    found.append(Passed("tank", tank))
    if own is not None and own.fittings.floating_intake:
        found.append(Passed("floating intake", tank))
    return tuple(found)


def reached_from(site: Site, store: str) -> frozenset[str]:
    """The store and every store its water comes to, lifted or spilled."""
    spills = {tank.name: tank.overflow_to for tank in site.tanks}
    reached, new = set[str](), {store}
    while new:
        reached |= new
        lifted = {lift.target for lift in site.lifts if lift.source in new}
        spilled = {spills[name] for name in new if spills.get(name) in spills}
        new = (lifted | spilled) - reached
    return frozenset(reached)


def in_the_line(line: Line) -> tuple[Passed, ...]:
    """The pump, what stands in the line, and the pressure tank where it stands."""
    found = [Passed("pump", line.pump.name)] if line.pump is not None else []
    tank = line.pressure_tank
    if tank is not None and not tank.after:
        found.append(Passed("pressure tank", line.name))
    for thing in line.in_line:
        found.append(Passed(thing.kind, thing.name, thing))
        if tank is not None and tank.after == thing.name:
            found.append(Passed("pressure tank", line.name))
    return tuple(found)


def finest_before_mm(line: Line, thing: InLine) -> float | None:
    """Passage of the finest cartridge before a thing in the line; None for none or unknown.

    A cartridge with a way around it is none.
    """
    before = line.in_line[: line.in_line.index(thing)]
    passages = [one.passage_mm for one in before if one.kind in CARTRIDGES and not one.bypass]
    return min((passage for passage in passages if passage is not None), default=None)


def uses_of(site: Site, line: Line) -> tuple[Use, ...]:
    """The uses that a line brings water to: as stated, else those that its tank serves first.

    Plants and animals that another line waters do not drink from this one.
    """
    if line.serves:
        return tuple(use for use in site.uses if use.name in line.serves)
    elsewhere = {
        name
        for other in site.lines
        if other is not line
        for name in (*_watered(other), *other.serves)
    }
    return tuple(
        use
        for use in site.uses
        if line.source in use.draws_from[:1]
        and use.name not in elsewhere
        and (bool(line.outlets) or use.name in _watered(line))
    )


def _watered(line: Line) -> tuple[str, ...]:
    named = (*(row.waters for row in line.laterals), *(one.waters for one in line.troughs))
    return tuple(name for name in named if name)
