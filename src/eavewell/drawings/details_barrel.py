"""The barrel on its stand: lid and screen, overflow, tap."""

from collections.abc import Iterator

from eavewell.drawings.detail import Detail, measured, soil, solid, tube
from eavewell.drawings.letters import shortened
from eavewell.drawings.marks import Hatch, Leader, Mark, Stroke, Symbol
from eavewell.drawings.pieces import box, filled
from eavewell.drawings.section_stores import width_m
from eavewell.drawings.sizes_called import bore_called
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.tables import texts
from eavewell.units import show

WORDS = texts.words("sheets")
LARGEST_L, DECK_M, BLOCK_M, REACH_M = 450.0, 0.04, 0.19, 0.3


def barrels(site: Site) -> Iterator[Detail]:
    """Every small tank above the ground whose shape is known."""
    for tank in site.tanks:
        each_l = tank.rim_l / tank.count
        if tank.shape is not None and not tank.is_sump and 0.0 < each_l <= LARGEST_L:
            marks = tuple(_barrel(tank, tank.shape.height_m, system=site.place.show))
            notes = tuple(_notes(tank, system=site.place.show))
            yield Detail(
                WORDS.say("details_barrel.barrels.barrel", name=shortened(tank.name)), marks, notes
            )


def _barrel(tank: Tank, high: float, *, system: Show) -> Iterator[Mark]:
    of, wide = f"tank {tank.name}", width_m(tank.shape)
    stand = tank.stands_on.height_m if tank.stands_on else 0.0
    over, out = tank.overflow_m, tank.outlet_m
    yield from soil(-0.3, wide + 0.75)
    yield from _stand(tank, stand, wide=wide, of=of)
    water = stand + (over if over is not None else high)
    yield Hatch("water", filled(0.0, stand, right=wide, high=water), "water", of)
    yield box("tank", 0.0, low=stand, right=wide, high=stand + high, of=of)
    yield from _lid(tank, wide, top=stand + high, of=of)
    if over is not None:
        yield from _overflow(tank, wide, at=stand + over, of=of, system=system)
        yield measured((0.0, stand), (0.0, stand + over), system=system, off_mm=13.0)
    if out is not None:
        yield Symbol("fitting", (wide + 0.05, stand + out), "hose", 6.0, of=of)
        words = WORDS.say(
            "details_barrel.barrel.tap_above_floor", out=show(out, "length", system=system)
        )
        yield Leader("text", (wide + 0.08, stand + out), words, of=of)
    if stand:
        yield measured((0.0, 0.0), (0.0, stand), system=system, off_mm=13.0)
    yield measured((0.0, stand + high), (wide, stand + high), system=system, off_mm=16.0)


def _stand(tank: Tank, stand: float, *, wide: float, of: str) -> Iterator[Mark]:
    """Blocks under a deck; the ground itself where there is no stand."""
    if stand <= DECK_M:
        return
    base = tank.stands_on
    yield from solid("building", -0.05, low=stand - DECK_M, right=wide + 0.05, high=stand, of=of)
    for left in (0.0, wide - BLOCK_M):
        right = left + BLOCK_M
        yield from solid("building", left, low=0.0, right=right, high=stand - DECK_M, of=of)
    words = (
        WORDS.say("details_barrel.stand.blocks", blocks=base.blocks)
        if base and base.blocks
        else "stand"
    )
    yield Leader("text", (wide - 0.05, stand / 2.0), words, of=of)
    if base is not None and base.tied:
        yield Stroke("building", ((-0.25, 0.0), (-0.25, stand + 0.6)), of=of)
        yield Stroke("fitting", ((-0.25, stand + 0.5), (0.0, stand + 0.5)), of=of)
        yield Leader(
            "text", (-0.2, stand + 0.5), WORDS.say("details_barrel.stand.tied_back"), of=of
        )


def _lid(tank: Tank, wide: float, *, top: float, of: str) -> Iterator[Mark]:
    middle = wide / 2.0
    yield Stroke("tank", ((-0.02, top + 0.015), (wide + 0.02, top + 0.015)), of=of)
    yield Symbol("fitting", (middle, top + 0.015), "screen", 9.0, of=of)
    yield from tube(((middle, top + 0.3), (middle, top + 0.06)), 0.075, layer="gutter", of=of)
    locks = tank.fittings.lid_locked
    yield Leader(
        "text",
        (middle - 0.12, top + 0.015),
        WORDS.say("details_barrel.lid.lid_with_screen", what=", locked" if locks else ""),
        of=of,
    )


def _overflow(tank: Tank, wide: float, *, at: float, of: str, system: Show) -> Iterator[Mark]:
    over = tank.fittings.overflow
    end = 0.06
    yield Stroke("overflow", ((wide, at), (wide + 0.3, at), (wide + 0.3, end)), of=of)
    size = f"{bore_called(over.pipe.bore_mm, system)} " if over and over.pipe else ""
    to = (
        WORDS.say("details_barrel.overflow.to", overflow_to=shortened(tank.overflow_to, 24))
        if tank.overflow_to
        else WORDS.say("details_barrel.overflow.destination_unknown")
    )
    yield Leader(
        "text" if tank.overflow_to else "unknown",
        (wide + 0.3, at - 0.1),
        f"{size}overflow{to}",
        of=of,
    )
    if over is not None and over.screened:
        yield Symbol("fitting", (wide + 0.3, end), "screen", 5.0, of=of)
        yield Leader(
            "text", (wide + 0.3, end), WORDS.say("details_barrel.overflow.screened_end"), of=of
        )


def _notes(tank: Tank, *, system: Show) -> Iterator[str]:
    mesh = tank.fittings.mesh_mm
    if mesh is not None:
        yield WORDS.say(
            "details_barrel.notes.every_opening_screened_at", mesh=show(mesh, "mesh", system=system)
        )
    else:
        yield WORDS.say("details_barrel.notes.mesh_screens_unknown_or")
    if tank.count > 1 and tank.fittings.link is not None:
        link = bore_called(tank.fittings.link.pipe.bore_mm, system)
        yield WORDS.say("details_barrel.notes.alike_joined_by_pipe", count=tank.count, link=link)
    yield WORDS.say("details_barrel.notes.full_barrel_heavy_its")
