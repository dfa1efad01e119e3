"""Whether what is fitted to each tank lets the storm out, the air in and the water through."""

from collections.abc import Iterator

from eavewell.findings.overflow import overflow_holds
from eavewell.findings.rounding import no_less, no_more
from eavewell.findings.tank_row import row_agrees
from eavewell.findings.tank_supply import supply_apart
from eavewell.findings.tank_way import tank_way
from eavewell.hydraulics.standard_sizes import FAMILIES, next_bore_mm, next_pipe
from eavewell.hydraulics.tank_air import vent_bore_mm
from eavewell.hydraulics.tank_connections import Connected
from eavewell.site.finding import COMMON, Change, Finding
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import depth_at
from eavewell.tables import table
from eavewell.units import show


def tanks_connect(site: Site, connected: tuple[Connected, ...]) -> Iterator[Finding]:
    """Checks on what is fitted to the tanks; one with nothing described gets a note at most."""
    system = site.place.show
    for one in connected:
        yield from supply_apart(site, one)
        yield from _concrete(one.tank, system)
        if not one.described:
            yield from _not_described(site, one.tank)
            continue
        yield from _unknown(one)
        yield from overflow_holds(site, one)
        yield from row_agrees(one, system)
        yield from _vent(one, system)
        yield from _light(one.tank)
        yield from _insects(site, one.tank)
        yield from _dead(one, system)


def _where(tank: Tank) -> str:
    return f"tank {tank.name!r}"


def _not_described(site: Site, tank: Tank) -> Iterator[Finding]:
    """One short note, where the site describes anything else that the water runs through."""
    if site.runs or site.lines or any(roof.gutters for roof in site.roofs):
        says = "Not checked: its overflow, inlet, vent and links are not described."
        yield Finding("tank-fittings-unknown", "note", _where(tank), says)


def _unknown(one: Connected) -> Iterator[Finding]:
    if one.unknown:
        says = f"Not checked: {', '.join(one.unknown)} unknown."
        yield Finding("tank-not-checked", "note", _where(one.tank), says)


def _vent(one: Connected, system: Show) -> Iterator[Finding]:
    fittings, must = one.tank.fittings, one.air_l_s
    if one.vent_l_s is None or must is None or one.tank.open_area_m2:
        return
    if one.vent_l_s >= must and fittings.vent_mm:
        return
    least_mm = vent_bore_mm(must, screened=fittings.vent_screened)
    size, sold_mm = next_pipe(least_mm, FAMILIES[system]), next_bore_mm(least_mm, FAMILIES[system])
    yield Finding(
        "vent-too-small" if fittings.vent_mm else "vent-missing",
        "fix",
        _where(one.tank),
        "Air must leave as fast as water comes and enter as fast as it goes, or the tank bulges "
        "or is sucked in. Screening, not design approval: the tank's maker decides.",
        measured=one.vent_l_s,
        limit=must,
        unit="L/s",
        source=COMMON,
        fix=f"a vent of {size}, screened",
        changes=_vented(one.tank, sold_mm, system=system),
    )


def _vented(tank: Tank, bore_mm: float | None, *, system: Show) -> tuple[Change, ...]:
    if bore_mm is None:
        return ()
    return (((*tank_way(tank), "vent"), no_less(bore_mm, "bore", system=system)),)


def _light(tank: Tank) -> Iterator[Finding]:
    if tank.fittings.translucent:
        yield Finding(
            "tank-lets-light-in",
            "watch",
            _where(tank),
            "Light grows algae in it.",
            source=COMMON,
            fix="an opaque tank, or paint made for it, a cover or shade",
        )


def _insects(site: Site, tank: Tank) -> Iterator[Finding]:
    """Openings to the open air that are known to let insects in."""
    fittings, most = tank.fittings, table("tank_connections")["insect mesh"].value
    stores = {one.name for one in site.tanks}
    overflow = fittings.overflow
    open_end = overflow is not None and not overflow.screened and tank.overflow_to not in stores
    ways = [
        *(["vent"] if fittings.vent_mm and not fittings.vent_screened else []),
        *(["overflow"] if open_end else []),
        *(["a screen with wider openings"] if (fittings.mesh_mm or 0.0) > most * 1.001 else []),
        *(f"inlet from roof {name!r}" for name in _coarse_roofs(site, tank, most_mm=most)),
    ]
    if ways:
        yield Finding(
            "openings-let-insects-in",
            "watch",
            _where(tank),
            f"Mosquitoes and vermin find a way in: {', '.join(ways)}.",
            source=COMMON,
            fix=f"mesh of {no_more(most, 'mesh', system=site.place.show)} or finer, or a flap",
        )


def _coarse_roofs(site: Site, tank: Tank, *, most_mm: float) -> Iterator[str]:
    """Roofs whose finest screen of known mesh is too coarse."""
    for roof in site.roofs:
        known = [screen.mesh_mm for screen in roof.screens if screen.mesh_mm is not None]
        all_known = known and len(known) == len(roof.screens)
        if roof.drains_to == tank.name and all_known and min(known) > most_mm * (1.0 + 1e-9):
            yield roof.name


def _dead(one: Connected, system: Show) -> Iterator[Finding]:
    tank, most = one.tank, table("tank_connections")["dead share"].value
    if one.dead_share <= most * (1.0 + 1e-9):
        return
    low = ""
    if tank.shape is not None and tank.dead_l is None:
        outlet_m = depth_at(tank.shape, most * tank.full_l / tank.count)
        low = f"an outlet no higher than {no_more(outlet_m, 'length', system=system)}, or "
    yield Finding(
        "dead-storage-large",
        "watch",
        _where(tank),
        f"Of {show(tank.rim_l, 'volume', system=system)} nominal, "
        f"{show(tank.dead_storage_l, 'volume', system=system)} lies below the outlet and "
        f"{show(one.usable_l, 'volume', system=system)} can be used.",
        measured=one.dead_share,
        limit=most,
        unit="share",
        source=COMMON,
        fix=f"{low}count on the usable volume alone",
    )


def _concrete(tank: Tank, system: Show) -> Iterator[Finding]:
    if "concrete" not in tank.material.lower():
        return
    days = table("tank_connections")["concrete fill days"].value
    each = show(tank.full_l / days, "volume", system=system)
    yield Finding(
        "concrete-filled-slowly",
        "note",
        _where(tank),
        f"After a long dry time concrete cracks when filled at once: over {days:.0f} days, "
        f"{each} a day, and look for leaks before each.",
        source=COMMON,
    )
