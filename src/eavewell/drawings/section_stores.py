"""Tanks and sumps in the section, at their true widths and levels."""

from collections.abc import Iterator
from itertools import pairwise

from eavewell.drawings.letters import shortened
from eavewell.drawings.marks import Hatch, Leader, LevelMark, Mark, Stroke, Symbol
from eavewell.drawings.pieces import Piece, box, filled, level
from eavewell.hydraulics.levels import above_floor_m, outlet_level_m, overflow_level_m
from eavewell.site.lift import Lift
from eavewell.site.place import Show
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import Box, HorizontalCylinder, StrappingTable, TankShape
from eavewell.tables import texts
from eavewell.units import show

WORDS = texts.words("sheets")
UNKNOWN_M, APART_M, MOST_DRAWN, EDGE_M, NAME_MM = 1.5, 0.5, 3, 0.7, 3.0
# how far below the rim an overflow is drawn whose level is unknown
UNKNOWN_SPILL_M = 0.15


def store_piece(tank: Tank, *, lifts: tuple[Lift, ...], system: Show) -> Piece:
    """A row of tanks with its levels; more than three are drawn as two and the last.

    lifts : those that draw from it, for their floats.
    """
    wide, high = width_m(tank.shape), tank.shape.height_m if tank.shape else UNKNOWN_M
    base = tank.base_m if tank.base_m is not None else 0.0
    known = tank.base_m is not None and tank.shape is not None
    drawn = tank.count if tank.count <= MOST_DRAWN else MOST_DRAWN
    lefts = [EDGE_M + at * (wide + APART_M) for at in range(drawn)]
    right = lefts[-1] + wide
    marks: list[Mark] = []
    for left in lefts:
        marks += _one(tank, left, base=base, wide=wide, high=high, known=known)
    if drawn > 1:
        marks += _links(tank, lefts, base=base, wide=wide)
    marks += _levels(tank, right=right, left=lefts[0], system=system)
    marks += [one for lift in lifts for one in _floats(tank, lift, x_m=lefts[0], system=system)]
    within = (lefts[0] + 0.4 * wide, base + 0.65 * high)
    over = (lefts[-1] + wide / 2.0, base + high)  # a row of narrow ones is named over it
    marks.append(_name(tank, over if drawn > 1 else within, system=system))
    middle = (lefts[0] + wide / 2.0, base + high)
    ports = {"left": (lefts[0], base), "right": (right, base), "top": middle}
    return Piece(tuple(marks), right + EDGE_M, ports, _ground_m(tank))


def _ground_m(tank: Tank) -> float | None:
    """The ground under a tank that stands on it; None for one in the ground."""
    if tank.is_sump or tank.burial is not None or tank.base_m is None:
        return None
    return tank.base_m - (tank.stands_on.height_m if tank.stands_on else 0.0)


def width_m(shape: TankShape | None) -> float:
    """How wide a tank looks from the side."""
    if shape is None:
        return UNKNOWN_M
    if isinstance(shape, Box | HorizontalCylinder):
        return shape.length_m
    return UNKNOWN_M if isinstance(shape, StrappingTable) else shape.diameter_m


def _one(
    tank: Tank, left: float, *, base: float, wide: float, high: float, known: bool
) -> Iterator[Mark]:
    of, right = f"tank {tank.name}", left + wide
    over = overflow_level_m(tank)
    if over is not None:
        yield Hatch("water", filled(left, base, right=right, high=over), "water", of)
        yield Stroke("water", ((left, over), (right, over)), of=of)
    low = outlet_level_m(tank)
    if low is not None and low > base:
        yield Stroke("water", ((left, low), (right, low)), of=of)
    layer = "tank" if known else "unknown"
    yield box(layer, left, low=base, right=right, high=base + high, of=of)
    if tank.stands_on is not None:
        yield _base(tank, left, base=base, right=right)


def _base(tank: Tank, left: float, *, base: float, right: float) -> Mark:
    stand = tank.stands_on
    deep = (stand.height_m or stand.thick_m or 0.1) if stand else 0.1
    edge = (stand.edge_m or 0.1) if stand else 0.1
    edge = min(edge, APART_M / 2.0)
    return box(
        "ground",
        left - edge,
        low=base - deep,
        right=right + edge,
        high=base,
        of=f"tank {tank.name}",
    )


def _links(tank: Tank, lefts: list[float], *, base: float, wide: float) -> Iterator[Mark]:
    """The open pipe between neighbours; where tanks are left out, dashed."""
    link = tank.fittings.link
    at = base + (link.level_m if link else 0.1) + 0.05
    for number, (one, other) in enumerate(pairwise(lefts)):
        left_out = tank.count > MOST_DRAWN and number == len(lefts) - 2
        layer = "buried" if left_out else "pipe"
        yield Stroke(layer, ((one + wide, at), (other, at)), of=f"tank {tank.name}")


def _levels(tank: Tank, *, left: float, right: float, system: Show) -> Iterator[LevelMark]:
    of = f"tank {tank.name}"
    rim = above_floor_m(tank, tank.shape.height_m if tank.shape else None)
    spills = "spillway" if tank.is_sump else "overflow"
    over, floor = overflow_level_m(tank), tank.base_m
    y = 0.0 if floor is None else floor
    high = tank.shape.height_m if tank.shape else UNKNOWN_M
    top = rim if rim is not None else y + high
    yield level((right, top), "rim", level_m=rim, system=system, of=of)
    if over is None or over != rim:
        spill = over if over is not None else top - UNKNOWN_SPILL_M
        yield level((right, spill), spills, level_m=over, system=system, of=of)
    if tank.outlet_m:
        low = outlet_level_m(tank)
        yield level(
            (right, low if low is not None else y), "outlet", level_m=low, system=system, of=of
        )
    yield level((left, y), "floor", level_m=floor, system=system, of=of)


def _floats(tank: Tank, lift: Lift, *, x_m: float, system: Show) -> Iterator[Mark]:
    for words, height in (("starts", lift.start_m), ("stops", lift.stop_m)):
        at = above_floor_m(tank, height)
        if at is not None:
            yield Symbol("fitting", (x_m + 0.12, at), "float", 2.5, of=f"lift {lift.name}")
            yield level((x_m + 0.02, at), words, level_m=at, system=system, of=f"lift {lift.name}")
    if tank.base_m is not None:
        yield Symbol(
            "fitting", (x_m + 0.3, tank.base_m + 0.15), "pump", 4.0, of=f"lift {lift.name}"
        )


def _name(tank: Tank, tip: tuple[float, float], *, system: Show) -> Leader:
    many = f"{tank.count} x " if tank.count > 1 else ""
    each = tank.stated_l or tank.rim_l / tank.count
    size = f", {show(each, 'volume', system=system)}" if each else ""
    return Leader("text", tip, f"{many}{shortened(tank.name)}{size}", NAME_MM, f"tank {tank.name}")
