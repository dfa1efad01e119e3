"""What carries, lifts and tips the tanks: screening, never a design approval."""

import math
from collections.abc import Iterator

from eavewell.findings.rounding import no_less
from eavewell.site.finding import COMMON, Finding
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.structure.bearing import Bearing
from eavewell.structure.screening import Carried
from eavewell.structure.stand import Stand
from eavewell.structure.uplift import Uplift, displaced_l
from eavewell.structure.wind import Wind
from eavewell.tables import sources, table
from eavewell.units import show

SCREENING = "Screening, not design approval; a licensed engineer and the tank's maker decide."


def bases_bear(site: Site, carried: tuple[Carried, ...]) -> Iterator[Finding]:
    """Checks on bases, wind, burial and stands."""
    system = site.place.show
    for one in carried:
        where = f"{'sump' if one.tank.is_sump else 'tank'} {one.tank.name!r}"
        if one.bearing is not None:
            yield from _bears(one.bearing, where, system=system)
            yield from _edge(one.bearing, where, system=system)
        elif _is_described(one):
            yield _note(where, "what it stands on")
        if one.wind is not None:
            yield from _wind(one, one.wind, where=where, system=system)
        if one.uplift is not None:
            yield from _floats(one, one.uplift, where=where, system=system)
            yield from _rated(one, where)
        if one.stand is not None:
            yield from _tips(one, one.stand, where=where, system=system)
        yield from _edging(one, where)
        yield from _large(one, where, system=system)


def _is_described(one: Carried) -> bool:
    """A tank that stands on the ground at a known level, but nobody says on what."""
    tank = one.tank
    return not tank.is_sump and tank.burial is None and tank.base_m is not None


def _note(where: str, what: str) -> Finding:
    return Finding("base-not-checked", "note", where, f"Not checked: {what} unknown.")


def _bears(found: Bearing, where: str, *, system: Show) -> Iterator[Finding]:
    if found.allowed_kpa is None or found.pressure_kpa is None:
        yield _note(where, "soil under its base" if found.area_m2 else "area that carries it")
        return
    weight = show(found.full_kg, "weight", system=system)
    if found.allowed_kpa == 0.0:
        yield Finding(
            "soil-bears-nothing",
            "stop",
            where,
            f"Full it weighs {weight}, and no code lends this soil any strength. {SCREENING}",
            source=_title("ibc_2012_soil"),
            fix="have the soil examined, or take it out down to firm ground",
        )
    elif found.pressure_kpa > found.allowed_kpa:
        needed = found.needed_m2
        yield Finding(
            "soil-overloaded",
            "stop",
            where,
            f"Full it weighs {weight}: more than the soil is presumed to carry. {SCREENING}",
            measured=found.pressure_kpa,
            limit=found.allowed_kpa,
            unit="kPa",
            source=_title("ibc_2012_soil"),
            fix=f"a base that carries it on {no_less(needed, 'area', system=system)}"
            if needed is not None
            else "a thinner base: this one alone weighs more than the soil carries",
        )


def _edge(found: Bearing, where: str, *, system: Show) -> Iterator[Finding]:
    least = found.edge_least_m
    if found.edge_m is None or least is None or found.edge_m >= least - 1e-9:
        return
    yield Finding(
        "base-edge-short",
        "fix",
        where,
        f"The base ends too near to the tank: rain and rats undercut it. {SCREENING}",
        measured=found.edge_m,
        limit=least,
        unit="m",
        source=_title("base_pads"),
        fix=f"{no_less(least, 'length', system=system)} of base beyond the tank on every side",
    )


def _wind(one: Carried, found: Wind, *, where: str, system: Show) -> Iterator[Finding]:
    if one.tank.anchored:
        return
    limit = table("structure")["design wind"].value
    if found.tips_m_s is None:
        yield _note(where, "weight of the empty tank, for wind")
    elif found.tips_m_s < limit:
        yield Finding(
            "empty-tank-tips",
            "fix",
            where,
            f"Empty and not tied down it tips in a wind of "
            f"{show(found.tips_m_s, 'wind', system=system)}. {SCREENING}",
            measured=found.tips_m_s,
            limit=limit,
            unit="m/s of wind",
            source=f"{_title('api_650_copy')}; wind {COMMON}",
            fix="tie it down as its maker shows, or never let it stand empty in the windy season",
        )


def _floats(one: Carried, found: Uplift, *, where: str, system: Show) -> Iterator[Finding]:
    if found.unknown:
        yield _note(where, f"{', '.join(found.unknown)}, for uplift")
        return
    limit, factor = table("structure")["uplift factor"].value, found.factor
    if factor is None or factor >= limit:
        return
    assert found.lifts_kg is not None
    assert found.holds_kg is not None
    more = limit * found.lifts_kg - found.holds_kg
    yield Finding(
        "tank-floats",
        "stop",
        where,
        f"Empty at the highest groundwater it is lifted by "
        f"{show(found.lifts_kg, 'weight', system=system)}, tank, cover and anchors hold "
        f"{show(found.holds_kg, 'weight', system=system)}. {SCREENING}",
        measured=factor,
        limit=limit,
        unit="times the uplift",
        source=_title("uplift_factors"),
        fix=f"{no_less(more, 'weight', system=system)} more, weighed under water, tied to each "
        f"tank, or drain the ground {_lower(one, system)}",
    )


def _lower(one: Carried, system: Show) -> str:
    burial, base = one.tank.burial, one.tank.base_m
    assert burial is not None
    if burial.groundwater_m is None or base is None or displaced_l(one.tank) <= 0.0:
        return "lower"
    return f"{no_less(burial.groundwater_m - base, 'length', system=system)} lower"


def _rated(one: Carried, where: str) -> Iterator[Finding]:
    burial = one.tank.burial
    if burial is not None and burial.rated is not True:
        yield Finding(
            "burial-not-rated",
            "stop",
            where,
            f"{'It is not' if burial.rated is False else 'It is not known to be'} rated for burial "
            f"by its maker: earth and groundwater crush a tank made to stand free. {SCREENING}",
            source=COMMON,
            fix="ask for the maker's rating for this depth and this groundwater, else do not bury",
        )


def _tips(one: Carried, found: Stand, *, where: str, system: Show) -> Iterator[Finding]:
    base = one.tank.stands_on
    if base is None or base.tied:
        return
    if found.margin_empty is None or found.margin_full is None:
        yield _note(where, "width of its stand or weight of the empty tank, for tipping")
        return
    limit = table("structure")["tip margin"].value
    margin = min(found.margin_empty, found.margin_full)
    if margin < limit:
        state = "empty" if found.margin_empty < limit else "full"
        weight = show(found.full_kg, "weight", system=system)
        yield Finding(
            "stand-tips",
            "fix",
            where,
            f"On its stand of {show(found.height_m, 'length', system=system)} it tips {state} "
            f"under a child's weight on the rim; full it weighs {weight}. {SCREENING}",
            measured=margin,
            limit=limit,
            unit="times the tipping moment",
            source=COMMON,
            fix="tie the tank back to the wall or to a post",
        )


def _edging(one: Carried, where: str) -> Iterator[Finding]:
    base, material = one.tank.stands_on, one.tank.material.lower()
    if base is None or base.kind != "sand with edging":
        return
    yield Finding(
        "sand-base",
        "note",
        where,
        "A sand base washes out and draws burrowing animals: drain it, hold it by an edging, line "
        "it against rodents"
        + (
            "; creosoted or treated timber must never touch the liner, nor drain to the catch."
            if "lined" in material
            else "."
        ),
        source=COMMON,
    )


def _large(one: Carried, where: str, *, system: Show) -> Iterator[Finding]:
    rule = table("structure")
    tall = one.wind is not None and one.wind.ratio > rule["tall"].value
    volume = one.tank.rim_l / one.tank.count
    large = not one.tank.is_sump and volume >= rule["large"].value
    if not (tall or large):
        return
    reasons = []
    if large:
        reasons.append(f"it holds {show(volume, 'volume', system=system)}")
    if tall and one.wind is not None and math.isfinite(one.wind.ratio):
        reasons.append(f"it is {one.wind.ratio:.1f} times as high as wide")
    yield Finding(
        "permit-often-asked",
        "note",
        where,
        f"Here a permit or an engineer is often asked for: {' and '.join(reasons)}. The authority "
        "having jurisdiction decides.",
        source=COMMON,
    )


def _title(source: str) -> str:
    return sources()[source]["title"]
