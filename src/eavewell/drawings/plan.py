"""The plan to scale: roofs, tanks, pipes, overflows and the distances that are stated."""

from collections.abc import Iterator
from math import cos, degrees, hypot, radians, sin

from eavewell.drawings.boxes import Box
from eavewell.drawings.letters import shortened, width_mm, wrapped
from eavewell.drawings.marks import (
    HEADING_MM,
    LETTER_MM,
    Arc,
    Dimension,
    Leader,
    Mark,
    Point,
    Sheet,
    Stroke,
    Symbol,
    Text,
    View,
)
from eavewell.drawings.pieces import box
from eavewell.drawings.plan_pipes import pipes_on_plan
from eavewell.drawings.plan_places import Ground, Places, Stand, building_distance, places
from eavewell.drawings.plan_traced import SET_OUT, set_out
from eavewell.drawings.scales import BAR_PARTS, Scale, scale_bar, view_in
from eavewell.drawings.section_stores import MOST_DRAWN
from eavewell.drawings.title_block import framed, room_of
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import Box as BoxTank
from eavewell.tables import texts
from eavewell.units import show

WORDS = texts.words("sheets")
ARRANGED = WORDS.say("plan.arranged")
SET_OUT_SAYS = WORDS.say("plan.set_out_says")
TITLE = WORDS.say("plan.title")
DIM_MM, LEAST_SIDE_M, NAME_MM = 6.0, 0.5, 3.0


def plan(site: Site, *, size: str, block: dict[str, str]) -> Sheet:
    """One sheet; size : a row of tables/sheet_sizes.csv. block : words of the title block."""
    where, system = set_out(site, places(site)), site.place.show
    said = SET_OUT_SAYS if _is_set_out(where) else ARRANGED
    room = room_of(size)
    seen = (
        *_roofs(where, system),
        *_stores(site, where),
        *_property(where, system),
        *_trees(where),
        *pipes_on_plan(site, where),
    )
    scale = view_in("plan", seen, room=room, system=system)[1]
    named = _names(where, mm_m=scale.mm_m, system=system)
    view, scale = view_in("plan", (*seen, *named), room=room, system=system)
    words = (("sheet", TITLE), *block.items(), ("scale", scale.called))
    says = WORDS.say("plan.page.plan_roofs_tanks_pipes", name=site.name, where=_north(where))
    marks = (*_north_marks(room, where), *_around(room, scale, said=said))
    around = View("north", marks, 1.0, 1.0, in_mm=True)
    return framed(Sheet("plan", TITLE, size, (view, around), words, says, (said,)))


def _is_set_out(where: Places) -> bool:
    roofs = any(one.plane.on_plan for grounds in where.roofs.values() for one in grounds)
    stores = any(SET_OUT in one.stated for one in where.stores.values())
    return roofs or stores or bool(where.ways or where.property_way or where.trees)


def _north(where: Places) -> str:
    if where.north_deg is None:
        return WORDS.say("plan.north.north_assumed_up")
    return WORDS.say("plan.north.north_degrees_clockwise_from", north_deg=where.north_deg)


def _north_marks(room: Box, where: Places) -> Iterator[Mark]:
    x, turn = room.right + 4.0, radians(where.north_deg or 0.0)
    yield Symbol("roof", (x, room.high), "north", 16.0, turned_deg=-degrees(turn))
    at = (x + 11.0 * sin(turn), room.high + 11.0 * cos(turn) - 1.5)
    yield Text("text", at, "N", HEADING_MM, "middle", bold=True)
    if where.north_deg is None:
        yield Text(
            "unknown",
            (x, room.high - 13.0),
            WORDS.say("plan.north_marks.north_assumed_up"),
            anchor="middle",
        )


def _around(room: Box, scale: Scale, *, said: str) -> Iterator[Mark]:
    """The bar, and what was arranged."""
    left, low = room.left - 24.0, room.low - 10.0
    yield from scale_bar(scale, at_mm=(left, low))
    start = left + BAR_PARTS * scale.part_m * scale.mm_m + 18.0
    lines = wrapped(said, LETTER_MM, most_mm=room.right + 24.0 - start, weight="Medium")
    for at, line in enumerate(reversed(lines[:3])):
        yield Text("text", (start, low - 1.0 + 4.0 * at), line)


def _trees(where: Places) -> Iterator[Mark]:
    for tree in where.trees:
        layer = "ground" if tree.across_m else "unknown"
        yield Arc(layer, tree.at_m, (tree.across_m or 1.0) / 2.0, of="trees")
        unknown = "" if tree.across_m else WORDS.say("plan.trees.crown_unknown")
        yield Leader(
            "text",
            tree.at_m,
            WORDS.say("plan.trees.tree", name=shortened(tree.name), unknown=unknown),
            of="trees",
        )


def _roofs(where: Places, system: Show) -> Iterator[Mark]:
    for name, grounds in where.roofs.items():
        of = f"roof {name}"
        for at, ground in enumerate(grounds):
            layer = "roof" if ground.known else "unknown"
            yield Stroke(layer, ground.corners, closed=True, of=of)
            if ground.known:
                yield from _sides(ground, of=of, top=at == 0, system=system)
        yield from _ridges(grounds, of)


def _names(where: Places, *, mm_m: float, system: Show) -> Iterator[Mark]:
    for name, grounds in where.roofs.items():
        for ground in grounds:
            yield _named(name, ground, mm_m=mm_m, system=system)


def _named(name: str, ground: Ground, *, mm_m: float, system: Show) -> Mark:
    """In the middle of the roof where there is room, else beside it."""
    area = show(ground.plane.plan_area_m2, "area", system=system)
    plane = "" if ground.plane.name in ("", name) else f", {shortened(ground.plane.name)}"
    called = (
        shortened(name)
        if "roof" in name.casefold()
        else WORDS.say("plan.named.roof", name=shortened(name))
    )
    words = f"{called}{plane}: {area}"
    seen = ground.box
    # the sides of an odd outline that are measured inside leave their middle room below it
    up = 0.5 if len(ground.corners) <= 4 else 0.38
    middle = ((seen.left + seen.right) / 2.0, seen.low + up * (seen.high - seen.low))
    layer = "text" if ground.known else "unknown"
    words += "" if ground.known else WORDS.say("plan.named.shape_unknown")
    wide = width_mm(words, NAME_MM, weight="Medium") + 6.0
    if wide <= mm_m * (ground.box.right - ground.box.left):
        return Text(layer, middle, words, NAME_MM, "middle", of=f"roof {name}")
    return Leader(layer, middle, words, NAME_MM, f"roof {name}")


def _ridges(grounds: tuple[Ground, ...], of: str) -> Iterator[Mark]:
    """Nothing more where planes meet: their common side is the ridge."""
    if len(grounds) > 1 and not grounds[-1].plane.on_plan:
        one = grounds[-1].box
        yield Stroke("building", ((one.left, one.high), (one.right, one.high)), of=of)


def _sides(ground: Ground, *, of: str, top: bool, system: Show) -> Iterator[Mark]:
    """Every side of an odd outline measured; two of a rectangle."""
    corners = ground.corners if _turns_left(ground.corners) else ground.corners[::-1]
    seen, count = ground.box, len(corners)
    for at, start in enumerate(corners):
        end, after = corners[(at + 1) % count], corners[(at + 2) % count]
        is_left = start[0] == end[0] == seen.left
        is_top = top and start[1] == end[1] == seen.high
        length = hypot(end[0] - start[0], end[1] - start[1])
        is_first = ground.plane.on_plan and at < 2
        if length < LEAST_SIDE_M or not (count > 4 or is_left or is_top or is_first):
            continue
        # pipes leave below, and the two sides of an inner corner would cross: these go inside
        inside = start[1] == end[1] == seen.low or not _turns_left((start, end, after))
        words = show(length, "length", system=system)
        yield Dimension("dimension", start, end, words, DIM_MM if inside else -DIM_MM, of)


def _turns_left(corners: tuple[Point, ...]) -> bool:
    following = (*corners[1:], corners[0])
    return sum(x * v - u * y for (x, y), (u, v) in zip(corners, following, strict=True)) > 0.0


def _stores(site: Site, where: Places) -> Iterator[Mark]:
    for stand in where.stores.values():
        yield from _store(stand)
        yield _store_named(stand, system=site.place.show)
        yield from _to_building(site, stand)


def _store(stand: Stand) -> Iterator[Mark]:
    of, tank = f"tank {stand.tank.name}", stand.tank
    layer = "tank" if stand.known else "unknown"
    edge = tank.stands_on.edge_m if tank.stands_on else None
    for at, one in enumerate(stand.boxes):
        middle = ((one.left + one.right) / 2.0, (one.low + one.high) / 2.0)
        radius = (one.right - one.left) / 2.0
        if not stand.round:
            yield box(layer, one.left, low=one.low, right=one.right, high=one.high, of=of)
        else:
            yield Arc(layer, middle, radius, of=of)
            if edge:
                yield Arc("ground", middle, radius + edge, of=of)
        if at:
            left_out = tank.count > len(stand.boxes) and at == MOST_DRAWN - 1
            ends = ((stand.boxes[at - 1].right, middle[1]), (one.left, middle[1]))
            yield Stroke("buried" if left_out else "pipe", ends, of=of)


def _store_named(stand: Stand, *, system: Show) -> Mark:
    tank, shape = stand.tank, stand.tank.shape
    many = f"{tank.count} x " if tank.count > 1 else ""
    each = tank.stated_l or tank.rim_l / tank.count
    volume = f", {show(each, 'volume', system=system)}" if each else ""
    across = WORDS.say("plan.store_named.size_unknown")
    if isinstance(shape, BoxTank):
        sides = (show(one, "length", system=system) for one in (shape.length_m, shape.width_m))
        across = f", {' x '.join(sides)}"
    elif stand.known:
        wide = stand.boxes[0].right - stand.boxes[0].left
        across = WORDS.say("plan.store_named.across", wide=show(wide, "length", system=system))
    far = [
        WORDS.say(
            "plan.store_named.away",
            name=shortened(name),
            metres=show(metres, "length", system=system),
        )
        for name, metres in tank.distances
        if name not in stand.stated
    ]
    place = "" if stand.stated else WORDS.say("plan.store_named.place_not_surveyed")
    words = f"{many}{_called(tank)}{volume}{across}{place}"
    last = stand.boxes[-1]
    at = ((last.left + last.right) / 2.0, last.low + 0.2 * (last.high - last.low))
    layer = "text" if stand.known and stand.stated else "unknown"
    return Leader(layer, at, "; ".join([words, *far]), of=f"tank {tank.name}")


def _called(tank: Tank) -> str:
    """Its name, with what it is where the name does not say so."""
    kind, name = "sump" if tank.is_sump else "tank", shortened(tank.name)
    return name if kind in name.casefold() else f"{kind} {name}"


def _to_building(site: Site, stand: Stand) -> Iterator[Mark]:
    stated = building_distance(stand.tank, site.roofs)
    if stated is None or SET_OUT in stand.stated:
        return
    x, top = stand.box.right, stand.box.high
    words = show(stated[1], "length", system=site.place.show)
    yield Dimension("dimension", (x, 0.0), (x, -stated[1]), words, DIM_MM)
    if top != -stated[1]:
        yield Text("unknown", (x, top), WORDS.say("plan.to_building.drawn_where_property_line"))


def _property(where: Places, system: Show) -> Iterator[Mark]:
    """The line as long as what stands before it, each stated distance measured."""
    y = where.property_m
    if where.property_way:
        yield Stroke("property", where.property_way, of="property line")
        yield Leader(
            "text", where.property_way[-1], WORDS.say("plan.property.line"), of="property line"
        )
    if y is None:
        return
    stands = [one for one in where.stores.values() if "property line" in one.stated]
    seen = where.buildings
    right = max([seen.right, *(one.box.right for one in stands)])
    line = ((seen.left - where.gap_m, y), (right + where.gap_m, y))
    yield Stroke("property", line, of="property line")
    yield Leader("text", line[1], WORDS.say("plan.property.property_line_its_direction"))
    for one in stands:
        first = one.boxes[0]
        x = (first.left + first.right) / 2.0 if one.round else first.left
        words = show(one.box.low - y, "length", system=system)
        yield Dimension("dimension", (x, y), (x, one.box.low), words, 0.0)
