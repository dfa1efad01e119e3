"""Under and beside a tank: its base, and its overflow with the air break."""

from collections.abc import Iterator

from eavewell.drawings.detail import Detail, measured, soil, solid
from eavewell.drawings.letters import shortened
from eavewell.drawings.marks import (
    Dimension,
    Hatch,
    Leader,
    Mark,
    Pattern,
    Stroke,
    Symbol,
)
from eavewell.drawings.pieces import filled
from eavewell.drawings.sizes_called import bore_called
from eavewell.site.base import Base
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.site.tank_fittings import Overflow
from eavewell.tables import texts
from eavewell.units import show

WORDS = texts.words("sheets")
SEEN_M, WALL_M, EDGING_M, UNKNOWN_M = 0.7, 0.02, 0.05, 0.15
TIMBER = WORDS.say("details_tank.timber")
_WORDS = {
    "slab": WORDS.say("details_tank.words.slab"),
    "crushed rock": WORDS.say("details_tank.words.crushed_rock"),
    "sand with edging": WORDS.say("details_tank.words.sand_with_edging"),
}
_NOTES = {
    "slab": WORDS.say("details_tank.notes.slab"),
    "crushed rock": WORDS.say("details_tank.notes.crushed_rock"),
    "sand with edging": WORDS.say("details_tank.notes.sand_with_edging"),
}


def bases(site: Site) -> Iterator[Detail]:
    """The edge of every laid base: slab, crushed rock, sand with edging."""
    for tank in site.tanks:
        base = tank.stands_on
        if base is not None and base.kind in _WORDS:
            notes = (_NOTES[base.kind], *((TIMBER,) if base.kind == "sand with edging" else ()))
            marks = tuple(_base(tank, base, system=site.place.show))
            yield Detail(
                WORDS.say("details_tank.bases.base", name=shortened(tank.name)),
                marks,
                (*notes, _full(tank, site)),
            )


def _full(tank: Tank, site: Site) -> str:
    each = tank.stated_l or tank.rim_l / tank.count
    size = show(each, "volume", system=site.place.show) if each else "unknown"
    soil_words = (
        WORDS.say("details_tank.full.soil", soil=tank.stands_on.soil)
        if tank.stands_on and tank.stands_on.soil
        else WORDS.say("details_tank.full.soil_unknown")
    )
    return WORDS.say(
        "details_tank.full.tank_screening_makers_sheet", size=size, soil_words=soil_words
    )


def _base(tank: Tank, base: Base, *, system: Show) -> Iterator[Mark]:
    of = f"tank {tank.name}"
    edge, thick = base.edge_m or UNKNOWN_M, base.thick_m or UNKNOWN_M
    left, known = -edge, bool(base.edge_m and base.thick_m)
    yield from soil(left - 0.5, SEEN_M, at=-thick, deep=0.2)
    beside = left - (EDGING_M if base.kind == "sand with edging" else 0.0)
    yield from soil(left - 0.5, beside, at=0.0 - 0.4 * thick, deep=0.6 * thick)
    pattern: Pattern = "cut" if base.kind == "slab" else "gravel"
    yield Hatch("ground", filled(left, -thick, right=SEEN_M, high=0.0), pattern, of)
    outline = ((SEEN_M, -thick), (left, -thick), (left, 0.0), (SEEN_M, 0.0))
    yield Stroke("ground" if known else "unknown", outline, of=of)
    if base.kind == "sand with edging":
        yield from solid(
            "building", left - EDGING_M, low=-thick - 0.1, right=left, high=0.04, of=of
        )
        tip = (left - EDGING_M / 2.0, 0.04)
        yield Leader("text", tip, WORDS.say("details_tank.base.edging_untreated_rot_proof"), of=of)
        yield from _liner(of)
    yield Stroke("tank", ((0.0, 0.75), (0.0, 0.0), (SEEN_M, 0.0)), of=of)
    yield Hatch("water", filled(WALL_M, WALL_M, right=SEEN_M, high=0.6), "water", of)
    yield Leader("text", (0.0, 0.6), WORDS.say("details_tank.base.tank_wall"), of=of)
    yield Leader("text", (SEEN_M * 0.4, -0.8 * thick), _WORDS[base.kind], of=of)
    yield from _base_sizes(base, left=left, thick=thick, system=system)


def _liner(of: str) -> Iterator[Mark]:
    yield Stroke("water", ((WALL_M, 0.72), (WALL_M, WALL_M), (SEEN_M, WALL_M)), of=of)
    yield Leader("text", (WALL_M, 0.45), "liner", of=of)


def _base_sizes(base: Base, *, left: float, thick: float, system: Show) -> Iterator[Mark]:
    if base.edge_m:
        yield measured((left, 0.0), (0.0, 0.0), system=system, off_mm=12.0)
    else:
        yield Leader("unknown", (left, 0.0), WORDS.say("details_tank.base_sizes.edge_unknown"))
    if base.thick_m:
        yield measured((SEEN_M, 0.0), (SEEN_M, -thick), system=system, off_mm=6.0)
    else:
        yield Leader(
            "unknown", (left, -thick), WORDS.say("details_tank.base_sizes.thickness_unknown")
        )


def air_breaks(site: Site) -> Iterator[Detail]:
    """Every overflow pipe that lets go outside, with the free air under its end."""
    stores = {tank.name for tank in site.tanks}
    for tank in site.tanks:
        over = tank.fittings.overflow
        if over is not None and tank.overflow_to not in stores:
            marks = tuple(_air_break(tank, over, system=site.place.show))
            notes = tuple(_air_notes(tank, over, system=site.place.show))
            kind = (
                WORDS.say("details_tank.air_breaks.spillway")
                if tank.is_sump
                else WORDS.say("details_tank.air_breaks.overflow")
            )
            yield Detail(f"{kind}: {shortened(tank.name)}", marks, notes)


def _air_break(tank: Tank, over: Overflow, *, system: Show) -> Iterator[Mark]:
    """The end of the pipe; the run to it is cut short."""
    of, gap = f"tank {tank.name}", over.air_break_m
    bore = over.pipe.bore_mm / 1000.0 if over.pipe else UNKNOWN_M
    low = gap if gap is not None else UNKNOWN_M
    layer = "overflow" if gap is not None else "unknown"
    half, far = bore / 2.0, 4.0 * bore
    yield from soil(-far, 3.5 * bore, deep=0.8 * bore)
    for y in (low, low + bore):
        yield Stroke(layer, ((-far, y), (0.0, y)), of=of)
    yield Stroke(layer, ((0.0, low), (0.0, low + bore)), of=of)
    yield Symbol(layer, (-far * 0.75, low + half), "cut short", 7.0, of=of)
    yield Symbol(layer, (-far * 0.4, low + half), "flow", 4.0, of=of)
    splash = (
        (0.4 * bore, 0.0),
        (0.9 * bore, -0.18 * bore),
        (2.6 * bore, -0.18 * bore),
        (3.1 * bore, 0.0),
    )
    yield Hatch("ground", splash, "gravel", of)
    yield Stroke("ground", splash, of=of)
    yield Leader(
        "text", (1.8 * bore, -0.1 * bore), WORDS.say("details_tank.air_break.stone_apron_so_that")
    )
    if over.screened:
        yield Symbol("fitting", (0.0, low + half), "screen", 6.0, 90.0, of=of)
        yield Leader("text", (0.0, low + half), "screened", of=of)
    if over.pipe:
        words = bore_called(over.pipe.bore_mm, system)
        yield Dimension("dimension", (-far, low), (-far, low + bore), words, 6.0)
    if gap is not None:
        yield Dimension(
            "dimension", (0.0, 0.0), (0.0, gap), show(gap, "length", system=system), -9.0
        )
    else:
        yield Leader(
            "unknown", (0.0, low / 2.0), WORDS.say("details_tank.air_break.air_break_unknown")
        )


def _air_notes(tank: Tank, over: Overflow, *, system: Show) -> Iterator[str]:
    to = tank.overflow_to or WORDS.say("details_tank.air_notes.place_that_not_stated")
    away = WORDS.say("details_tank.air_notes.distance_from_building_unknown")
    if over.away_m is not None:
        away = WORDS.say(
            "details_tank.air_notes.from_nearest_building",
            away=show(over.away_m, "length", system=system),
        )
    yield WORDS.say("details_tank.air_notes.to", to=shortened(to, 40), away=away)
    if over.end_m is not None:
        yield WORDS.say(
            "details_tank.air_notes.lets_go_at_level", end=show(over.end_m, "level", system=system)
        )
    else:
        yield WORDS.say("details_tank.air_notes.level_where_it_lets")
    yield WORDS.say("details_tank.air_notes.free_air_under_end")
