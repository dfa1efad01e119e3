"""The sump: floats, pump, riser and spillway at their levels."""

from collections.abc import Iterator

from eavewell.drawings.detail import Detail, solid
from eavewell.drawings.letters import shortened
from eavewell.drawings.marks import Hatch, Leader, Mark, Stroke, Symbol
from eavewell.drawings.pieces import box, filled, level
from eavewell.drawings.section_stores import width_m
from eavewell.drawings.sizes_called import bore_called
from eavewell.hydraulics.levels import above_floor_m
from eavewell.site.lift import Lift
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.tables import texts

WORDS = texts.words("sheets")
COVER_M = 0.08


def sumps(site: Site) -> Iterator[Detail]:
    """Every sump whose shape is known, with what lifts its water."""
    for tank in site.tanks:
        if tank.is_sump and tank.shape is not None:
            lifts = [lift for lift in site.lifts if lift.source == tank.name]
            marks = tuple(_sump(site, tank, lifts=lifts))
            yield Detail(
                WORDS.say("details_sump.sumps.sump", name=shortened(tank.name)),
                marks,
                tuple(_notes(lifts)),
            )


def _sump(site: Site, tank: Tank, *, lifts: list[Lift]) -> Iterator[Mark]:
    """Its floor at y = 0; the levels printed are above the site's datum."""
    of, system = f"tank {tank.name}", site.place.show
    wide, high = width_m(tank.shape), tank.shape.height_m if tank.shape else 1.0
    over = tank.overflow_m if tank.overflow_m is not None else high
    starts = next((lift.start_m for lift in lifts if lift.start_m is not None), None)
    water = starts if starts is not None else 0.5 * over
    yield Hatch("water", filled(0.0, 0.0, right=wide, high=water), "water", of)
    yield Stroke("water", ((0.0, water), (wide, water)), of=of)
    yield box("tank", 0.0, low=0.0, right=wide, high=high, of=of)
    yield from solid("building", -0.1, low=high, right=wide + 0.1, high=high + COVER_M, of=of)
    yield Leader(
        "text", (0.2 * wide, high + COVER_M), WORDS.say("details_sump.sump.cover_locked"), of=of
    )
    yield level((0.0, 0.0), "floor", level_m=tank.base_m, system=system, of=of)
    yield from _spillway(tank, wide, at=over, system=system)
    for at, lift in enumerate(lifts):
        yield from _lift(tank, lift, x=0.35 * wide + 0.3 * at, high=high, system=system)
    for run in site.runs:
        if run.to == tank.name and run.to_m is not None and tank.base_m is not None:
            y = run.to_m - tank.base_m
            yield Stroke("pipe", ((-0.5, y), (0.0, y)), of=f"pipe {run.name}")
            yield level(
                (-0.3, y),
                WORDS.say("details_sump.sump.end", name=shortened(run.name, 20)),
                level_m=run.to_m,
                system=system,
            )


def _spillway(tank: Tank, wide: float, *, at: float, system: Show) -> Iterator[Mark]:
    of, over = f"tank {tank.name}", tank.fittings.overflow
    known = tank.overflow_m is not None
    yield Stroke("overflow" if known else "unknown", ((wide, at), (wide + 0.5, at - 0.05)), of=of)
    size = f", {bore_called(over.pipe.bore_mm, system)}" if over and over.pipe else ""
    comma = "," if size and known else ""
    level_m = above_floor_m(tank, tank.overflow_m)
    yield level((wide, at), f"spillway{size}{comma}", level_m=level_m, system=system, of=of)


def _lift(tank: Tank, lift: Lift, *, x: float, high: float, system: Show) -> Iterator[Mark]:
    of = f"lift {lift.name}"
    yield Symbol("fitting", (x, 0.14), "pump", 6.0, of=of)
    yield Leader(
        "text",
        (x, 0.14),
        lift.pump.name if lift.pump else WORDS.say("details_sump.lift.pump_unknown"),
        of=of,
    )
    yield Stroke("pipe", ((x, 0.22), (x, high + 0.25)), of=of)
    if lift.riser is not None:
        words = WORDS.say("details_sump.lift.riser", bore=bore_called(lift.riser.bore_mm, system))
        yield Leader("text", (x, high + 0.2), words, of=of)
    if lift.check_valve:
        yield Symbol("fitting", (x, high - 0.3), "check valve", 4.0, 90.0, of=of)
        yield Leader(
            "text", (x, high - 0.3), WORDS.say("details_sump.lift.check_valve_union"), of=of
        )
    for words, at_m in (("starts", lift.start_m), ("stops", lift.stop_m)):
        y = at_m if at_m is not None else 0.5
        if at_m is not None:
            yield Symbol("fitting", (x + 0.25, y), "float", 4.0, of=of)
        level_m = above_floor_m(tank, at_m)
        yield level((x + 0.35, y), words, level_m=level_m, system=system, of=of)


def _notes(lifts: list[Lift]) -> Iterator[str]:
    for lift in lifts:
        yes = [
            words
            for there, words in (
                (lift.alarm, WORDS.say("details_sump.notes.high_water_alarm_on")),
                (lift.full_float, WORDS.say("details_sump.notes.float_full_tank_stops")),
                (lift.weep_hole, WORDS.say("details_sump.notes.weep_hole_drains_riser")),
                (lift.second_pump, WORDS.say("details_sump.notes.second_pump")),
            )
            if there
        ]
        if yes:
            yield f"{shortened(lift.name)}: {'; '.join(yes)}."
    yield WORDS.say("details_sump.notes.never_enter_sump_power")
