"""What is fitted to each tank, worked out: overflow, vent, link, drain, dead storage."""

from collections.abc import Iterator
from dataclasses import dataclass

from eavewell.hydraulics.drain_down import drain_down_h
from eavewell.hydraulics.levels import overflow_level_m
from eavewell.hydraulics.lift import Storms
from eavewell.hydraulics.line_network import Running
from eavewell.hydraulics.linked_tanks import UnequalFloors, must_pass_l_s, unequal_floors
from eavewell.hydraulics.openings import orifice_l_s
from eavewell.hydraulics.overflow import freeboards_m, link_l_s, overflow_l_s, pipe_flow_l_s
from eavewell.hydraulics.storm_inflow import storm_inflow_l_s
from eavewell.hydraulics.tank_air import vent_l_s
from eavewell.site.line import Line
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.site.tank_fittings import TankFittings
from eavewell.tables import table


@dataclass(frozen=True, slots=True)
class Connected:
    """One tank, or one row of linked tanks, with what is fitted to it.

    storm_l_s    : roofs, lifts, make-up and stores above in the design storm; None unknown.
    hauled_l_s   : a truck's flow; 0 where none comes.
    draw_l_s     : the largest known flow out of it: pumps, open ends of lines, or the drain.
    freeboard_m  : from the lowest overflow to the lowest rim; None unknown.
    overflow_l_s : what all overflows carry with the water at the rim; None unknown.
    vent_l_s     : air through the vent of one tank; None unknown.
    link_l_s     : linking pipe at a level difference of the freeboard; None unknown or none.
    floors       : None where they are equal or unknown.
    drain_h      : hours in which the drain empties one full tank; None unknown or none.
    described    : False where the site says nothing of its fittings.
    unknown      : what is not known, in words.
    """

    tank: Tank
    storm_l_s: float | None
    hauled_l_s: float
    draw_l_s: float
    freeboard_m: float | None
    overflow_l_s: float | None
    vent_l_s: float | None
    link_l_s: float | None
    floors: UnequalFloors | None
    drain_h: float | None
    described: bool
    unknown: tuple[str, ...]

    @property
    def peak_l_s(self) -> float | None:
        """The largest inflow: the storm with the truck's share on top, or the truck alone."""
        if self.storm_l_s is None:
            return None
        share = table("tank_connections")["truck in a storm"].value
        return max(self.storm_l_s + share * self.hauled_l_s, self.hauled_l_s)

    @property
    def air_l_s(self) -> float | None:
        """The most air that the vent of one tank must pass, in or out."""
        return None if self.peak_l_s is None else max(self.peak_l_s, self.draw_l_s)

    @property
    def link_must_l_s(self) -> float | None:
        """What must pass the linking pipe for all tanks to fill together."""
        if self.peak_l_s is None or self.tank.count < 2:
            return None
        return must_pass_l_s(self.tank, self.peak_l_s)

    @property
    def usable_l(self) -> float:
        """Usable volume up to the lowest overflow."""
        return self.tank.usable_l - (self.floors.lost_l if self.floors else 0.0)

    @property
    def dead_share(self) -> float:
        """Share of the water below the overflow that no use can draw."""
        return self.tank.dead_storage_l / self.tank.full_l if self.tank.full_l else 0.0


def connect(site: Site, storms: Storms) -> tuple[Connected, ...]:
    """Every tank that is no sump, with its overflow, vent, link and drain worked out."""
    inflow = storm_inflow_l_s(site, storms)
    return tuple(
        _connected(site, tank, storm_l_s=inflow[tank.name])
        for tank in site.tanks
        if not tank.is_sump
    )


def _connected(site: Site, tank: Tank, *, storm_l_s: float | None) -> Connected:
    fittings, free = tank.fittings, freeboards_m(tank)
    hauled, vent = _hauled_l_s(site, tank), fittings.vent_mm
    return Connected(
        tank=tank,
        storm_l_s=storm_l_s,
        hauled_l_s=hauled,
        draw_l_s=_draw_l_s(site, tank),
        freeboard_m=max(free) if free else None,
        overflow_l_s=overflow_l_s(tank),
        vent_l_s=None if vent is None else vent_l_s(vent, screened=fittings.vent_screened),
        link_l_s=link_l_s(tank) if tank.count > 1 else None,
        floors=unequal_floors(tank),
        drain_h=_drain_h(tank),
        described=fittings != TankFittings(),
        unknown=(
            *_unknown(tank, storm_l_s=storm_l_s, hauls=hauled > 0.0),
            *(("flow of a lift from it",) if _no_pump(site, tank) else ()),
        ),
    )


def _hauled_l_s(site: Site, tank: Tank) -> float:
    if tank.fittings.hauled_l_s is not None:
        return tank.fittings.hauled_l_s
    hauls = any(one.to == tank.name for one in site.hauling)
    return table("tank_connections")["truck"].value if hauls else 0.0


def _draw_l_s(site: Site, tank: Tank) -> float:
    """Lifts and lines together, or the open drain where that is more."""
    deep_m = _deep_m(tank) or 0.0
    lifts = [lift.pump for lift in site.lifts if lift.source == tank.name]
    lines = [line for line in site.lines if line.source == tank.name]
    pumps = [pump for pump in (*lifts, *(line.pump for line in lines)) if pump is not None]
    ends = (_open_end_l_s(tank, line, deep_m=deep_m) for line in lines if line.pump is None)
    flows = [*(pump.curve[-1][0] for pump in pumps), *ends]
    return max(sum(flows), orifice_l_s(tank.fittings.drain_mm or 0.0, deep_m))


def _open_end_l_s(tank: Tank, line: Line, *, deep_m: float) -> float:
    """Out of a line cut at the tank, or at the level of its lowest outlet: downhill it sucks."""
    cut = orifice_l_s(line.main.bore_mm, deep_m)
    full_m = overflow_level_m(tank)
    ends: tuple[Running, ...] = (*line.outlets, *line.laterals, *line.troughs)
    lowest_m = min((one.level_m for one in ends if one.level_m is not None), default=None)
    if full_m is None or lowest_m is None:
        return cut
    return max(cut, pipe_flow_l_s(line.main, full_m - lowest_m))


def _no_pump(site: Site, tank: Tank) -> bool:
    return any(lift.source == tank.name and lift.pump is None for lift in site.lifts)


def _deep_m(tank: Tank) -> float | None:
    if tank.overflow_m is not None:
        return tank.overflow_m
    return tank.shape.height_m if tank.shape else None


def _drain_h(tank: Tank) -> float | None:
    deep_m, bore_mm = _deep_m(tank), tank.fittings.drain_mm
    if tank.shape is None or deep_m is None or not bore_mm:
        return None
    return drain_down_h(tank.shape, deep_m, bore_mm=bore_mm)


def _unknown(tank: Tank, *, storm_l_s: float | None, hauls: bool) -> Iterator[str]:
    fittings, overflow = tank.fittings, tank.fittings.overflow
    spill_elsewhere = overflow is not None and overflow.pipe is not None
    known = {
        "shape": tank.shape,
        "level of its overflow": tank.overflow_m,
        "overflow pipe": overflow,
        "level where its overflow ends": _end_known(tank) if spill_elsewhere else True,
        "air break of its overflow": overflow.air_break_m if overflow else True,
        "inlet bore": fittings.inlet_mm,
        "vent": fittings.vent_mm if not tank.open_area_m2 else True,
        "whether light gets in": fittings.translucent,
        "gap of the truck's fill": fittings.truck_fill_gap if hauls else True,
        "inflow in the design storm": storm_l_s,
    }
    yield from (name for name, value in known.items() if value is None)
    if tank.count > 1:
        yield from _unknown_of_row(tank)


def _end_known(tank: Tank) -> float | None:
    overflow = tank.fittings.overflow
    assert overflow is not None
    return overflow.fall if overflow.end_m is None or tank.base_m is None else overflow.end_m


def _unknown_of_row(tank: Tank) -> Iterator[str]:
    link = tank.fittings.link
    if link is None:
        yield "linking pipe"
    elif link.valves is None or link.flexible is None:
        yield "whether its link has valves and gives"
    if not tank.fittings.bases_m:
        yield "level of each floor"
