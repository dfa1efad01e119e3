"""Parts of a tank: its fittings, overflow, links, and the base under it."""

import math
from collections.abc import Iterator

from eavewell.cost.part_rows import row
from eavewell.cost.pipe_parts import pipe_parts
from eavewell.cost.stock import stock_of
from eavewell.site.base import Base
from eavewell.site.part import Part
from eavewell.site.tank import Tank
from eavewell.site.tank_fittings import Link
from eavewell.site.tank_shape import Box, HorizontalCylinder, UprightCylinder
from eavewell.structure.bearing import floor_m2

_AT = "at the tank"


def tank_parts(tank: Tank) -> Iterator[Part]:
    """One store: `count` equal tanks with all that is screwed to them and what they stand on."""
    where, each = f"{'sump' if tank.is_sump else 'tank'} {tank.name!r}", tank.count
    kind, size = "sump basin" if tank.is_sump else "tank", tank.stated_l or tank.rim_l / each
    yield row(kind, each, where=where, size=size or None, says=tank.material)
    yield from _openings(tank, where)
    yield from _overflow(tank, where)
    if tank.fittings.link is not None and each > 1:
        yield from _links(tank.fittings.link, where, count=each)
    if tank.anchored:
        yield row("anchor strap", each * stock_of("straps a tank"), where=where)
    if tank.stands_on is not None:
        yield from _base(tank, tank.stands_on, where=where)


def _openings(tank: Tank, where: str) -> Iterator[Part]:
    fit, each = tank.fittings, tank.count
    if fit.drain_mm:
        yield row("bulkhead fitting", each, where=where, size=fit.drain_mm, says="for the drain")
        yield row("tank drain valve", each, where=where, size=fit.drain_mm)
    if fit.vent_mm:
        yield row("vent screen", each, where=where, size=fit.vent_mm)
    if fit.sight_tube and tank.shape is not None:
        yield row("sight tube", each * tank.shape.height_m, where=where)
        yield row(
            "hose clamp", each * stock_of("hose stubs"), where=where, says="for the sight tube"
        )
    for there, part in (
        (fit.calmed_inlet, "calmed inlet"),
        (fit.floating_intake, "floating intake"),
    ):
        if there:
            yield row(part, 1, where=where, size=fit.inlet_mm if part == "calmed inlet" else None)
    if fit.lid_locked:
        yield row("lid lock", each, where=where)


def _overflow(tank: Tank, where: str) -> Iterator[Part]:
    over = tank.fittings.overflow
    if over is None or over.pipe is None:
        return
    count, bore_mm = tank.count * over.count, over.pipe.bore_mm
    yield row("bulkhead fitting", count, where=where, size=bore_mm, says="for the overflow")
    if over.screened:
        yield row("overflow screen", count, where=where, size=bore_mm)
    yield from pipe_parts(over.pipe, where=f"overflow of {where}", stand=_AT, count=count)


def _links(link: Link, where: str, *, count: int) -> Iterator[Part]:
    """Between neighbours; every tank keeps its valve, so that one can be shut off alone."""
    size = {"size": link.pipe.bore_mm}
    yield row("bulkhead fitting", 2 * (count - 1), where=where, says="for the link", **size)
    yield from pipe_parts(link.pipe, where=f"link of {where}", stand=_AT, count=count - 1)
    if link.flexible:
        yield row("flexible connector", count - 1, where=where, **size)
        yield row("hose clamp", stock_of("hose stubs") * (count - 1), where=where, **size)
    if link.valves:
        yield row("tank valve", count, where=where, **size)


def _base(tank: Tank, base: Base, *, where: str) -> Iterator[Part]:
    each, area_m2 = tank.count, pad_m2(tank, base)
    if base.blocks:
        yield row("stand block", each * base.blocks, where=where)
    if base.height_m > 0.0:
        yield row("stand", each, where=where, size=tank.stated_l or tank.rim_l / each or None)
    if base.kind not in _LAID:
        return
    laid, settles = _LAID[base.kind]
    if area_m2 is None or base.thick_m <= 0.0:
        yield row(
            laid, 0.0, where=where, says="volume unknown: size or thickness of the base unknown"
        )
        return
    swell = stock_of(settles) if settles else 1.0
    yield row(laid, each * area_m2 * base.thick_m * swell, where=where)
    if laid != "concrete":
        yield row("geotextile", each * area_m2, where=where)
    if base.kind == "sand with edging":
        yield row("edging", each * _rim_m(tank, base), where=where, says=_EDGING)
        yield row("rodent mesh", each * area_m2, where=where)


_LAID = {
    "crushed rock": ("crushed rock", "rock settles"),
    "sand with edging": ("sand", "sand settles"),
    "slab": ("concrete", ""),
}
_EDGING = "with drainage below it and a kerb against washing out"


def pad_m2(tank: Tank, base: Base) -> float | None:
    """Area of the base under one tank, its edge on every side; None where the tank's is unknown."""
    if base.area_m2 is not None:
        return base.area_m2
    sides = _sides_m(tank, base)
    if sides is None:
        return floor_m2(tank)
    long_m, wide_m, is_round = sides
    return long_m * wide_m * (math.pi / 4.0 if is_round else 1.0)


def _rim_m(tank: Tank, base: Base) -> float:
    """Length of the edging around one pad; around a square of its area where only that is known."""
    sides = _sides_m(tank, base)
    if sides is None:
        return 4.0 * math.sqrt(pad_m2(tank, base) or 0.0)
    long_m, wide_m, is_round = sides
    return math.pi * long_m if is_round else 2.0 * (long_m + wide_m)


def _sides_m(tank: Tank, base: Base) -> tuple[float, float, bool] | None:
    shape, edge_m = tank.shape, 2.0 * (base.edge_m or 0.0)
    if isinstance(shape, UprightCylinder):
        return shape.diameter_m + edge_m, shape.diameter_m + edge_m, True
    if isinstance(shape, Box):
        return shape.length_m + edge_m, shape.width_m + edge_m, False
    if isinstance(shape, HorizontalCylinder):
        return shape.length_m + edge_m, shape.diameter_m + edge_m, False
    return None
