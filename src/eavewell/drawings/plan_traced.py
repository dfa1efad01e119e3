"""What was set out on the sheet keeps its place on the plan; the rest is arranged beside it."""

from dataclasses import replace

from eavewell.drawings.boxes import Box
from eavewell.drawings.marks import Point
from eavewell.drawings.plan_places import Ground, Places, Stand, around
from eavewell.site.site import Site
from eavewell.site.traced import Traced

SET_OUT = "plan"  # by what a stand was placed


def set_out(site: Site, where: Places) -> Places:
    """The places of a site with those of its sheet; as they are where no part was set out."""
    roofs, traced = _roofs(site), site.traced or Traced()
    first = _first(where, roofs, traced=traced)
    if first is None:
        return replace(where, north_deg=traced.north_deg)
    moved = {
        name: tuple(replace(one, corners=_moved(one.corners, first)) for one in grounds)
        for name, grounds in roofs.items()
    }
    return replace(
        where,
        roofs=_beside(where, moved) if moved else where.roofs,
        stores=_stores(where, traced, first=first),
        property_m=None if traced.property_m else where.property_m,
        property_way=_moved(traced.property_m, first),
        ways={name: _moved(way, first) for name, way in traced.pipes if len(way) > 1},
        trees=tuple(replace(one, at_m=_moved((one.at_m,), first)[0]) for one in traced.trees),
        north_deg=traced.north_deg,
    )


def _first(where: Places, roofs: dict[str, tuple[Ground, ...]], *, traced: Traced) -> Box | None:
    """The box on the sheet whose lower left comes to lie on that of the plan; None for none.

    Where no roof was set out, the buildings stand as arranged, and tanks and pipes with all else of
    the sheet to the right of them; a property line alone says nothing of where they are.
    """
    if roofs:
        planes = [one for grounds in roofs.values() for one in grounds]
        return around([corner for one in planes for corner in one.corners])
    if not traced.tanks and not traced.pipes:
        return None
    ways = [point for _, way in traced.pipes for point in way]
    trees = [tree.at_m for tree in traced.trees]
    sheet = around([*(at for _, at in traced.tanks), *ways, *trees])
    widest = max((one.box.right - one.box.left for one in where.stores.values()), default=0.0)
    right = where.buildings.right + 2.0 * where.gap_m + widest / 2.0
    return replace(sheet, left=sheet.left - right)


def _roofs(site: Site) -> dict[str, tuple[Ground, ...]]:
    """Roofs all of whose planes were set out, where they are on the sheet."""
    return {
        roof.name: tuple(Ground(plane, plane.outline, known=True) for plane in roof.planes)
        for roof in site.roofs
        if roof.planes and all(plane.on_plan for plane in roof.planes)
    }


def _moved(points: tuple[Point, ...], first: Box) -> tuple[Point, ...]:
    """From the sheet to the plan, whose lower left is that of the buildings."""
    return tuple((x - first.left, y - first.low) for x, y in points)


def _beside(where: Places, set_out: dict[str, tuple[Ground, ...]]) -> dict[str, tuple[Ground, ...]]:
    """Roofs that were not set out stand to the right of those that were."""
    corners = [corner for grounds in set_out.values() for one in grounds for corner in one.corners]
    left = around(corners).right + 2.0 * where.gap_m
    found: dict[str, tuple[Ground, ...]] = {}
    for name, grounds in where.roofs.items():
        if name in set_out:
            found[name] = set_out[name]
            continue
        old = where.roof(name)
        across = left - old.left
        found[name] = tuple(
            replace(one, corners=tuple((x + across, y) for x, y in one.corners)) for one in grounds
        )
        left = old.right + across + 2.0 * where.gap_m
    return found


def _stores(where: Places, traced: Traced, *, first: Box) -> dict[str, Stand]:
    """Tanks at their places, the others to the right of them."""
    placed = {
        name: _at(where.stores[name], _moved((at,), first)[0])
        for name, at in traced.tanks
        if name in where.stores
    }
    left = max([0.0, *(one.box.right + where.gap_m for one in placed.values())])
    others = [one for name, one in where.stores.items() if name not in placed]
    across = left - others[0].box.left if others else 0.0
    return {
        name: placed.get(name) or _shifted(stand, across, up=0.0)
        for name, stand in where.stores.items()
    }


def _at(stand: Stand, middle: Point) -> Stand:
    one = stand.boxes[0]
    across = middle[0] - (one.left + one.right) / 2.0
    up = middle[1] - (one.low + one.high) / 2.0
    return replace(_shifted(stand, across, up=up), stated=(SET_OUT,))


def _shifted(stand: Stand, across: float, *, up: float) -> Stand:
    boxes = tuple(
        Box(one.left + across, one.low + up, one.right + across, one.high + up)
        for one in stand.boxes
    )
    return replace(stand, boxes=boxes)
