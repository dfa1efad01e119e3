"""Whether tanks joined by an open pipe stand level and are joined well."""

from collections.abc import Iterator
from dataclasses import replace

from eavewell.findings.rounding import no_less
from eavewell.findings.tank_way import tank_way
from eavewell.hydraulics.overflow import link_l_s
from eavewell.hydraulics.standard_sizes import FAMILIES, standard_bores
from eavewell.hydraulics.tank_connections import Connected
from eavewell.site.finding import COMMON, Change, Finding
from eavewell.site.place import Show
from eavewell.site.tank import Tank
from eavewell.site.tank_fittings import Link
from eavewell.tables import table
from eavewell.units import show


def row_agrees(one: Connected, system: Show) -> Iterator[Finding]:
    """Checks on a row of linked tanks; nothing for a single one."""
    link = one.tank.fittings.link
    if one.tank.count < 2:
        return
    yield from _floors(one, system)
    yield from _passes(one, system)
    if link is not None:
        yield from _valves(one.tank, link)
        yield from _rigid(one.tank, link)
        yield from _low(one.tank, link, system=system)


def _where(tank: Tank) -> str:
    return f"tank {tank.name!r}"


def _floors(one: Connected, system: Show) -> Iterator[Finding]:
    floors, most = one.floors, table("tank_connections")["lost share"].value
    if floors is None or floors.lost_l <= most * one.tank.usable_l:
        return
    raised = "; ".join(
        f"tank {at} {no_less(shim, 'length', system=system)}"
        for at, shim in enumerate(floors.shims_m, 1)
        if shim > 0.0
    )
    yield Finding(
        "tank-floors-differ",
        "fix",
        _where(one.tank),
        f"Tank {floors.first} spills first; "
        f"{show(floors.lost_l, 'volume', system=system)} above its overflow never fills in the "
        "others.",
        measured=floors.lost_l,
        limit=most * one.tank.usable_l,
        unit="L",
        source="arithmetic of the levels",
        fix=f"raise the empty tanks on firm bases: {raised}",
    )


def _passes(one: Connected, system: Show) -> Iterator[Finding]:
    passes, must, free_m = one.link_l_s, one.link_must_l_s, one.freeboard_m
    if passes is None or must is None or passes >= must or free_m is None or free_m <= 0.0:
        return
    yield Finding(
        "link-too-small",
        "watch",
        _where(one.tank),
        "At the largest inflow the tank with the inlet spills while its neighbours have room: the "
        f"linking pipe passes too little at {show(free_m, 'length', system=system)} of "
        "level difference.",
        measured=passes,
        limit=must,
        unit="L/s",
        source="friction of the linking pipe, its entrance and exit",
        fix=_wider(one.tank, must, system=system),
        changes=_linked(one.tank, must, system=system),
    )


def _wider(tank: Tank, must_l_s: float, *, system: Show) -> str:
    if size := _link_size(tank, must_l_s, system=system):
        return f"a linking pipe of {size}, or an inlet into each tank"
    return "an inlet into each tank: no linking pipe passes it"


def _linked(tank: Tank, must_l_s: float, *, system: Show) -> tuple[Change, ...]:
    size, way = _link_size(tank, must_l_s, system=system), (*tank_way(tank), "link")
    return (((*way, "size"), size), ((*way, "bore"), None)) if size else ()


def _link_size(tank: Tank, must_l_s: float, *, system: Show) -> str:
    """The smallest link sold that passes so much; "" where none does."""
    for name, bore_mm in standard_bores(FAMILIES[system]):
        if (link_l_s(with_link(tank, bore_mm)) or 0.0) >= must_l_s:
            return name
    return ""


def with_link(tank: Tank, bore_mm: float) -> Tank:
    """The tank with a linking pipe of another bore."""
    link = tank.fittings.link
    assert link is not None
    changed = replace(link, pipe=replace(link.pipe, bore_mm=bore_mm))
    return replace(tank, fittings=replace(tank.fittings, link=changed))


def _valves(tank: Tank, link: Link) -> Iterator[Finding]:
    if link.valves is False:
        yield Finding(
            "link-without-valves",
            "watch",
            _where(tank),
            "No tank can be shut off: one leak takes the water of all, and none can be cleaned "
            "while another serves.",
            source=COMMON,
            fix="a valve at each tank; in a drought keep them shut and draw one tank at a time",
        )


def _rigid(tank: Tank, link: Link) -> Iterator[Finding]:
    if link.flexible is False:
        yield Finding(
            "link-rigid",
            "watch",
            _where(tank),
            "Bases settle unequally and a rigid link breaks, or tears the tank.",
            source=COMMON,
            fix="a flexible link",
        )


def _low(tank: Tank, link: Link, *, system: Show) -> Iterator[Finding]:
    outlet_m = tank.outlet_m
    if outlet_m is None or link.level_m >= outlet_m - 1e-6:
        return
    at = no_less(outlet_m, "length", system=system)
    yield Finding(
        "link-below-sediment",
        "watch",
        _where(tank),
        "Its link lies below the outlet, in the sediment, and carries it from tank to tank.",
        measured=link.level_m,
        limit=outlet_m,
        unit="m",
        source=COMMON,
        fix=f"a link {at} above the floor, as the outlet",
        changes=(((*tank_way(tank), "link", "level"), at),),
    )
