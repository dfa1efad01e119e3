"""Whether a tank's overflow carries what comes, breaks to the air and goes somewhere safe."""

from collections.abc import Iterator

from eavewell.findings.rounding import no_less, no_more
from eavewell.findings.tank_way import tank_way
from eavewell.hydraulics.overflow import (
    equal_bore_mm,
    lower_overflow,
    overflow_bore,
    overflow_count,
)
from eavewell.hydraulics.standard_sizes import FAMILIES, next_pipe
from eavewell.hydraulics.tank_connections import Connected
from eavewell.site.finding import COMMON, Change, Finding
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.site.tank_fittings import Overflow
from eavewell.tables import table
from eavewell.units import show
from eavewell.weather.design_storm import storm_for

HOLE = "0.6 A sqrt(2 g h) of the opening and friction of its pipe"
_SAME = 0.96  # bores of one nominal size, pipe against pipe


def overflow_holds(site: Site, one: Connected) -> Iterator[Finding]:
    """Checks on the overflow of one tank."""
    system = site.place.show
    yield from _freeboard(one, system)
    yield from _carries(one, system)
    yield from _as_wide_as_inlet(one, system)
    yield from _destination(one.tank)
    overflow = one.tank.fittings.overflow
    if overflow is not None:
        yield from _air_break(one.tank, overflow, system=system)
        if one.tank.overflow_to not in {tank.name for tank in site.tanks}:
            yield from _from_building(one.tank, overflow, system=system)
            yield from _above_floor(site, one.tank, overflow=overflow)


def _where(tank: Tank) -> str:
    return f"tank {tank.name!r}"


def _freeboard(one: Connected, system: Show) -> Iterator[Finding]:
    if one.freeboard_m is None or one.freeboard_m > 0.0:
        return
    assert one.tank.shape is not None
    overflow = one.tank.fittings.overflow
    bore_mm = overflow.pipe.bore_mm if overflow and overflow.pipe else 100.0
    lower_m = one.tank.shape.height_m - bore_mm / 1000.0
    at = no_more(max(lower_m, 0.0), "length", system=system)
    yield Finding(
        "overflow-no-freeboard",
        "fix",
        _where(one.tank),
        "Its overflow begins no lower than its rim: water leaves over the lid.",
        measured=one.freeboard_m,
        limit=bore_mm / 1000.0,
        unit="m",
        source="arithmetic of the levels",
        fix=f"an overflow {at} above the floor",
        changes=_says(one.tank, "overflow", value=at),
    )


def _carries(one: Connected, system: Show) -> Iterator[Finding]:
    peak, carried, free_m = one.peak_l_s, one.overflow_l_s, one.freeboard_m
    if peak is None or carried is None or carried >= peak or free_m is None or free_m <= 0.0:
        return
    shut = " with its screen half clogged" if _screened(one.tank) else ""
    yield Finding(
        "overflow-too-small",
        "fix",
        _where(one.tank),
        f"{_comes(one)} more comes than its overflow carries{shut}, the water "
        f"{show(free_m, 'length', system=system)} above where it begins.",
        measured=carried,
        limit=peak,
        unit="L/s",
        source=HOLE,
        fix=_larger(one.tank, peak, system=system),
        changes=_sold(one.tank, peak, system=system),
    )


def _says(tank: Tank, *fields: str, value: str | int | None) -> tuple[Change, ...]:
    return (((*tank_way(tank), *fields), value),)


def _of_size(tank: Tank, size: str) -> tuple[Change, ...]:
    overflow = tank.fittings.overflow
    if overflow is None or overflow.pipe is None or size.startswith("more"):
        return ()
    bore = _says(tank, "overflow_pipe", "bore", value=None)
    return (*_says(tank, "overflow_pipe", "size", value=size), *bore)


def _sold(tank: Tank, peak_l_s: float, *, system: Show) -> tuple[Change, ...]:
    """The next size that carries it, else as many of the same as do."""
    sold = overflow_bore(tank, peak_l_s, family=FAMILIES[system])
    count = overflow_count(tank, peak_l_s)
    if sold:
        return _of_size(tank, sold[0])
    return _says(tank, "overflow_pipe", "count", value=count) if count else ()


def _comes(one: Connected) -> str:
    storm = storm_for("overflow")
    truck = " with a truck filling it," if one.hauled_l_s else ""
    return f"In the {storm.years:g}-year {storm.minutes:g}-minute storm{truck}"


def _screened(tank: Tank) -> bool:
    return tank.fittings.overflow is not None and tank.fittings.overflow.screened


def _larger(tank: Tank, peak_l_s: float, *, system: Show) -> str:
    """The next size, number and height that carry it with all else as it is."""
    sold = overflow_bore(tank, peak_l_s, family=FAMILIES[system])
    count = overflow_count(tank, peak_l_s)
    each = " on each tank" if tank.count > 1 else ""
    ways = [
        *([f"an overflow of {sold[0]}{each}"] if sold else []),
        *([f"{count} like this one{each}"] if count else []),
        *([] if sold else _lower(tank, peak_l_s, system=system)),
    ]
    return ", or ".join(ways) or "more and wider overflows and links: none alone carries it"


def _lower(tank: Tank, peak_l_s: float, *, system: Show) -> list[str]:
    found = lower_overflow(tank, peak_l_s, family=FAMILIES[system])
    if found is None:
        return []
    name, lowered = found
    height_m, lost_l = lowered.overflow_m or 0.0, tank.full_l - lowered.full_l
    return [
        f"one of {name} that begins {no_more(height_m, 'length', system=system)} above the floor "
        f"({show(lost_l, 'volume', system=system)} less)"
    ]


def _as_wide_as_inlet(one: Connected, system: Show) -> Iterator[Finding]:
    inlet_mm, overflow = one.tank.fittings.inlet_mm, one.tank.fittings.overflow
    wide_mm = equal_bore_mm(overflow) if overflow else None
    if inlet_mm is None or wide_mm is None or wide_mm >= _SAME * inlet_mm:
        return
    size = next_pipe(_SAME * inlet_mm, FAMILIES[system])
    yield Finding(
        "overflow-smaller-than-inlet",
        "fix",
        _where(one.tank),
        "Its overflow is narrower than its inlet; as wide is the least, and passes only about half "
        "of what a full inlet brings.",
        measured=wide_mm,
        limit=inlet_mm,
        unit="mm",
        source=COMMON,
        fix=f"an overflow of {size} at least",
        changes=_of_size(one.tank, size),
    )


def _destination(tank: Tank) -> Iterator[Finding]:
    if not tank.overflow_to:
        yield Finding(
            "overflow-goes-nowhere",
            "fix",
            _where(tank),
            "Where its overflow goes is not stated.",
            source=COMMON,
            fix="lead it to a place that takes the storm: a swale, a basin, a rock apron, and "
            "state overflow_to",
        )


def _air_break(tank: Tank, overflow: Overflow, *, system: Show) -> Iterator[Finding]:
    least, stated = table("tank_connections")["air break"].value, overflow.air_break_m
    if stated is None or stated >= least * (1.0 - 1e-9):
        return
    air = no_less(least, "length", system=system)
    yield Finding(
        "overflow-no-air-break",
        "fix",
        _where(tank),
        "Its overflow can stand in the water it runs to, which then comes back, with what lives "
        "in it.",
        measured=stated,
        limit=least,
        unit="m",
        source=COMMON,
        fix=f"{air} of free air below its end",
        changes=_says(tank, "overflow_pipe", "air_break", value=air),
    )


def _from_building(tank: Tank, overflow: Overflow, *, system: Show) -> Iterator[Finding]:
    least, away = table("tank_connections")["from a building"].value, overflow.away_m
    if away is None:
        says = "Not checked: distance from the building to where its overflow ends unknown."
        yield Finding("overflow-distance-unknown", "note", _where(tank), says)
    elif away < least * (1.0 - 1e-9):
        yield Finding(
            "overflow-at-the-building",
            "fix",
            _where(tank),
            "It lets go at the footing of the building.",
            measured=away,
            limit=least,
            unit="m",
            source=COMMON,
            fix=f"a pipe that ends {no_less(least, 'length', system=system)} from it, downhill",
        )


def _above_floor(site: Site, tank: Tank, *, overflow: Overflow) -> Iterator[Finding]:
    """Water that lands above the lowest floor may run to it."""
    floor_m, end_m = site.ground.floor_m, overflow.end_m
    if floor_m is None or end_m is None:
        return
    lands_m = end_m - (overflow.air_break_m or 0.0)
    if lands_m <= floor_m + 1e-6:
        return
    yield Finding(
        "overflow-above-the-floor",
        "watch",
        _where(tank),
        "Its water lands higher than the lowest floor of the building.",
        measured=lands_m,
        limit=floor_m,
        unit="m",
        source="arithmetic of the levels",
        fix=f"an end {no_less(lands_m - floor_m, 'length', system=site.place.show)} lower, or "
        "ground that falls away from the building",
    )
