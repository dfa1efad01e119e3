"""Every line as barriers in order: what they earn, and what a power cut lets through."""

from collections.abc import Iterator
from dataclasses import dataclass

from eavewell.hydraulics.service import PumpedLine
from eavewell.hydraulics.service_outlets import behind_tank, limited_l_s
from eavewell.site.authority import Authority, Target
from eavewell.site.barrier import Cartridge, Lamp
from eavewell.site.line import InLine, InLineKind, Line
from eavewell.site.site import Site
from eavewell.site.use import Use
from eavewell.tables import table
from eavewell.treatment.credit import (
    ContactWorks,
    Credit,
    LampWorks,
    contact_works,
    credits_of,
    lamp_works,
)
from eavewell.treatment.order import CARTRIDGES, Passed, finest_before_mm, order_of, uses_of
from eavewell.treatment.power_cut import Unlit, unlit
from eavewell.treatment.ultraviolet import organisms

DISINFECTS: tuple[InLineKind, ...] = ("lamp", "chlorine", "contact tank")
# 0.0002 in is called 5 micron
ROUNDED = 1.02
TREATS = (*CARTRIDGES, *DISINFECTS, "softener", "neutraliser")


@dataclass(frozen=True, slots=True)
class CartridgeLife:
    """How long a cartridge lasts at the line's daily use; every_days None where nothing tells."""

    thing: InLine
    by_water_days: float | None
    by_time_days: float | None

    @property
    def every_days(self) -> float | None:
        """The shorter of the two."""
        known = [days for days in (self.by_water_days, self.by_time_days) if days is not None]
        return min(known, default=None)


@dataclass(frozen=True, slots=True)
class Against:
    """One organism: what all barriers earn, what is asked, and the barrier that earns most.

    target : None where the authority states none.
    """

    organism: str
    logs: float
    by: str
    target: Target | None

    @property
    def short(self) -> float:
        """Logs missing; 0 where no target is stated."""
        return max(self.target.logs - self.logs, 0.0) if self.target else 0.0


@dataclass(frozen=True, slots=True)
class TreatedLine:
    """A line that treats its water, or that brings it to somebody who drinks it.

    largest_l_s : flow with everything open at cut-out; None unknown.
    unlit       : what runs to the taps in a power cut before it stops.
    by_gravity  : True where the whole tank runs out without power.
    """

    line: Line
    uses: tuple[Use, ...]
    order: tuple[Passed, ...]
    largest_l_s: float | None
    lamps: tuple[LampWorks, ...]
    contact: ContactWorks | None
    credits: tuple[Credit, ...]
    against: tuple[Against, ...]
    cartridges: tuple[CartridgeLife, ...]
    unlit: Unlit
    by_gravity: bool

    @property
    def drinks(self) -> bool:
        """Whether anybody drinks from it."""
        return any(use.end_use == "drinking" for use in self.uses)

    @property
    def weakest(self) -> Against | None:
        """The organism that is furthest from its target, or that the least is earned against."""
        return min(self.against, key=lambda one: (-one.short, one.logs), default=None)


def barriers_in_order(
    site: Site, served: tuple[PumpedLine, ...], *, authority: Authority | None = None
) -> tuple[TreatedLine, ...]:
    """Every line that treats its water or serves somebody who drinks it.

    served : what the pumps do. authority : whose targets hold; None states none.
    """
    runs = {run.line.name: run for run in served}
    return tuple(
        _treated(site, line, run=runs.get(line.name), authority=authority)
        for line in site.lines
        if _treats(line) or any(use.end_use == "drinking" for use in uses_of(site, line))
    )


def _treats(line: Line) -> bool:
    return any(thing.kind in TREATS for thing in line.in_line)


def _treated(
    site: Site, line: Line, *, run: PumpedLine | None, authority: Authority | None
) -> TreatedLine:
    uses, largest = uses_of(site, line), run.largest_flow_l_s if run else None
    lamps = tuple(
        lamp_works(thing, site.water, flow_l_s=limited_l_s(line, largest, at=thing))
        for thing in line.in_line
        if thing.kind == "lamp"
    )
    contact = contact_works(line, site.water, largest_l_s=largest)
    earned = tuple(credits_of(lamps, contact, water=site.water))
    return TreatedLine(
        line=line,
        uses=uses,
        order=order_of(site, line),
        largest_l_s=largest,
        lamps=lamps,
        contact=contact,
        credits=earned,
        against=tuple(_against(earned, uses, authority=authority)),
        cartridges=tuple(_cartridges(line, run.l_day if run else None)),
        unlit=unlit(site, line),
        by_gravity=line.pump is None,
    )


def _against(
    earned: tuple[Credit, ...], uses: tuple[Use, ...], *, authority: Authority | None
) -> Iterator[Against]:
    targets = authority.targets if authority else ()
    for organism in organisms():
        mine = [one for one in earned if one.organism == organism]
        best = max(mine, key=lambda one: one.logs, default=None)
        asked = [
            one
            for one in targets
            if one.organism == organism and one.end_use in {use.end_use for use in uses}
        ]
        yield Against(
            organism,
            sum(one.logs for one in mine),
            best.barrier if best and best.logs > 0.0 else "",
            max(asked, key=lambda one: one.logs, default=None),
        )


def _cartridges(line: Line, l_day: float | None) -> Iterator[CartridgeLife]:
    for thing in line.in_line:
        if thing.kind in CARTRIDGES:
            yield cartridge_life(thing, l_day)


def cartridge_life(thing: InLine, l_day: float | None) -> CartridgeLife:
    """How long one lasts where so much water passes it on a mean day; None unknown."""
    works = thing.works if isinstance(thing.works, Cartridge) else Cartridge()
    by_water = works.life_l / l_day if works.life_l and l_day else None
    return CartridgeLife(thing, by_water, works.life_days)


def has_fine_filter(line: Line, lamp: InLine) -> bool:
    """Whether a cartridge fine enough for a lamp stands before it; unknown is none.

    A passage in thousandths of an inch is as good as one in microns.
    """
    finest_mm = finest_before_mm(line, lamp)
    return finest_mm is not None and finest_mm <= table("barriers")["fine filter"].value * ROUNDED


def has_shut_valve(line: Line) -> bool | None:
    """Whether the lamp's water is shut without power: a valve of its own or one in the line.

    A valve before the pressure tank, or with a way around it, shuts nothing.
    """
    valves = (thing for thing in line.in_line if thing.kind == "shut valve" and not thing.bypass)
    if any(behind_tank(line, valve) for valve in valves):
        return True
    lamps = [thing.works for thing in line.in_line if thing.kind == "lamp"]
    known = [lamp.shut_valve if isinstance(lamp, Lamp) else None for lamp in lamps]
    return None if None in known else all(known)
