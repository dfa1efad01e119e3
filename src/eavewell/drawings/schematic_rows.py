"""The bands of a schematic: one for each store, its roofs at the left, its lines at the right.

Millimetres from the upper left corner, y upward and so below nothing.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from eavewell.drawings.letters import shortened, width_mm, wrapped
from eavewell.drawings.marks import LETTER_MM, Arc, Hatch, Mark, Point, Stroke, Symbol, Text
from eavewell.drawings.pieces import box, filled
from eavewell.drawings.tags import Tag, lines_in_order, stores_in_order
from eavewell.hydraulics.levels import above_floor_m, outlet_level_m, overflow_level_m
from eavewell.hydraulics.pipe_tree import pipe_tree
from eavewell.site.roof import Roof
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.tables import texts
from eavewell.units import show

WORDS = texts.words("sheets")
ROOF_MM, TANK_LEFT_MM, TANK_MM, FIRST_MM = 12.0, 82.0, 40.0, 166.0
STEP_MM, ROW_MM, SIGN_MM, GAP_MM, RING_MM = 10.0, 28.0, 5.0, 12.0, 3.1
LANES_MM, LANES_WIDE_MM, ROOF_STEP_MM = 17.0, 22.0, 15.0
# a row of eleven signs, and the longest words of an overflow
WIDE_MM = 276.0
ENDS = ("tap", "hose", "appliance", "drip line", "float valve")
UNKNOWN_SHARE, SPILL_SHARE, SPILL_MM, LEVELS_MM = 0.08, 0.9, 18.0, 4.2
# how far below a row its fold runs, and how far the last row's words end above the next
HALF, FOLD_MM, UNDER_MM = 0.5, 12.4, 15.0
FILLS, ABOVE_MM = {"make-up", "truck fill"}, 13.0
SPILLS = ("overflow", "spillway")


@dataclass(frozen=True, slots=True)
class Row:
    """One way out of a store.

    tags  : in the order of flow. share : how high it leaves, of the store's height; known : whether
            that is known. of : the line or lift. to : store that a lift brings its water to.
    level : where it leaves, in words. spills : where an overflow leads, in words.
    levels : of its outlets, by number.
    """

    of: str
    tags: tuple[Tag, ...]
    share: float
    known: bool
    level: str = ""
    to: str = ""
    spills: str = ""
    levels: dict[int, str] = field(default_factory=dict)

    @property
    def high_mm(self) -> float:
        """Room for one of its folds."""
        return SPILL_MM if self.spills else ROW_MM


@dataclass(frozen=True, slots=True)
class Band:
    """A store with all that comes to it and leaves it; its marks hang below y = 0 - top."""

    tank: Tank
    marks: tuple[Mark, ...]
    high_mm: float
    inlet: Point
    low_mm: float
    lifts: tuple[tuple[Row, Point], ...]


def bands(
    site: Site,
    numbered: Sequence[Tag],
    *,
    wide_mm: float,
    scale: float,
    tanks: Sequence[Tank] = (),
) -> tuple[Band, ...]:
    """Stores in the order of flow, then the pipes of the lifts between them.

    wide_mm : room for a row. scale : by which signs and letters are larger than usual.
    tanks : those of this sheet; () for all.
    """
    found: list[Band] = []
    top = 0.0
    for tank in tanks or stores_in_order(site):
        band = _band(site, tank, numbered=numbered, top=top, wide_mm=wide_mm)
        found.append(band)
        top -= band.high_mm
    inlets = {band.tank.name: band.inlet for band in found}
    with_lifts = [replace(band, marks=(*band.marks, *_lift_pipes(band, inlets))) for band in found]
    return tuple(
        replace(band, marks=tuple(_scaled(mark, scale) for mark in band.marks))
        for band in with_lifts
    )


def _scaled(mark: Mark, by: float) -> Mark:
    if isinstance(mark, Symbol):
        return replace(mark, size_mm=mark.size_mm * by)
    return replace(mark, capital_mm=mark.capital_mm * by) if isinstance(mark, Text) else mark


def _band(site: Site, tank: Tank, *, numbered: Sequence[Tag], top: float, wide_mm: float) -> Band:
    roofs = [roof for roof in site.roofs if roof.drains_to == tank.name]
    rows = sorted(_rows(site, tank, numbered=numbered), key=_order)
    per_row = max(int((wide_mm - FIRST_MM) / STEP_MM), 4)
    inside = max(_inside_mm(rows, per_row), len(roofs) * ROOF_STEP_MM + 8.0, 34.0)
    own = {tag.kind: tag for tag in numbered if tag.of == f"tank {tank.name}"}
    above = ABOVE_MM if FILLS & own.keys() else 5.0
    high, low = top - above, top - above - inside
    marks = [*_store(site, tank, own=own, high=high, low=low)]
    marks += _roofs(site, roofs, numbered=numbered, high=high)
    y, lifts, said = high - 3.0, list[tuple[Row, Point]](), list[float]()
    for at, row in enumerate(rows):
        start = (TANK_LEFT_MM + TANK_MM, low + row.share * inside)
        y = min(y, start[1]) if row.spills else y
        lane = start[0] + LANES_MM + LANES_WIDE_MM * at / max(len(rows), 6)
        crowded = any(abs(start[1] - other) < LEVELS_MM for other in said)
        plain = replace(row, level="" if crowded else row.level)
        said += [start[1]] if plain.level else []
        if not row.spills:
            y = min(y, high - 16.0)
        drawn, end = _out(plain, start, y=y, lane=lane, per_row=per_row)
        marks += drawn
        if row.to:
            lifts.append((row, end))
        y -= _folds(row, per_row) * row.high_mm
    inlet, foot = (TANK_LEFT_MM, high - 6.0), min(low, y + UNDER_MM)
    return Band(tank, tuple(marks), top - foot + GAP_MM, inlet, foot, tuple(lifts))


def _order(row: Row) -> tuple[bool, bool, float]:
    """From the highest to the lowest; then an overflow that is low, then what is lifted away."""
    return bool(row.to), bool(row.spills) and row.share < HALF, -row.share


def _folds(row: Row, per_row: int) -> int:
    return max(-(-len(row.tags) // per_row), 1)


def _inside_mm(rows: Sequence[Row], per_row: int) -> float:
    """Height of a store that has room for its rows, those after an overflow below its level."""
    heights = [_folds(row, per_row) * row.high_mm for row in rows]
    first = rows[0] if rows else None
    if first is None or not first.spills or first.share < HALF:
        return sum(heights) + 6.0
    return sum(heights) / first.share + 2.0


def _rows(site: Site, tank: Tank, *, numbered: Sequence[Tag]) -> Iterator[Row]:
    """Lines and lifts that leave a store, and a tap on it."""
    system = site.place.show
    spill = next(
        (tag for tag in numbered if tag.of == f"tank {tank.name}" and tag.kind in SPILLS), None
    )
    if spill is not None:
        share, known = _share(tank, spill.level_m)
        to = (
            WORDS.say("schematic_rows.rows.to", overflow_to=shortened(tank.overflow_to, 40))
            if tank.overflow_to
            else WORDS.say("schematic_rows.rows.destination_unknown")
        )
        if spill.level_m is not None:
            to += WORDS.say(
                "schematic_rows.rows.at", level=show(spill.level_m, "level", system=system)
            )
        yield Row(spill.of, (spill,), share if known else SPILL_SHARE, known, spills=to)
    for line in lines_in_order(site):
        if line.source == tank.name:
            of = f"line {line.name}"
            mine = tuple(tag for tag in numbered if tag.of == of)
            level_m = line.level_m if line.level_m is not None else outlet_level_m(tank)
            said = "" if level_m is None else show(level_m, "level", system=system)
            levels = {
                tag.number: show(tag.level_m, "level", system=system)
                for tag in mine
                if tag.level_m is not None
            }
            yield Row(of, mine, *_share(tank, level_m), level=said, levels=levels)
    for lift in site.lifts:
        if lift.source == tank.name:
            of = f"lift {lift.name}"
            mine = tuple(tag for tag in numbered if tag.of == of)
            yield Row(of, mine, *_share(tank, above_floor_m(tank, lift.stop_m)), to=lift.target)
    taps = [tag for tag in numbered if tag.kind == "tank tap" and tag.of == f"tank {tank.name}"]
    for tap in taps:
        yield Row(tap.of, (tap,), *_share(tank, tap.level_m))


def _share(tank: Tank, level_m: float | None) -> tuple[float, bool]:
    """How high a level stands in a store, of its height; just above the floor where unknown."""
    height_m = tank.shape.height_m if tank.shape else None
    if level_m is None or tank.base_m is None or not height_m:
        return UNKNOWN_SHARE, False
    return min(max((level_m - tank.base_m) / height_m, 0.02), 0.98), True


def _store(
    site: Site, tank: Tank, *, own: dict[str, Tag], high: float, low: float
) -> Iterator[Mark]:
    of, left, right = f"tank {tank.name}", TANK_LEFT_MM, TANK_LEFT_MM + TANK_MM
    over_m = overflow_level_m(tank)
    share, known = _share(tank, over_m)
    if known:
        y = low + share * (high - low)
        yield Hatch("water", filled(left, low, right=right, high=y), "water", of)
    layer = "tank" if known else "unknown"
    yield box(layer, left, low=low, right=right, high=high, of=of)
    kind = "sump" if tank.is_sump else "tank"
    yield from _numbered(own.get(kind), (left + 5.0, high - 6.0))
    middle, y = (left + right) / 2.0, high - 13.5
    for line in wrapped(shortened(tank.name, 34), LETTER_MM, most_mm=TANK_MM - 3.0)[:2]:
        yield Text("text", (middle, y), line, anchor="middle", bold=True)
        y -= 4.2
    yield Text("text", (middle, y), _volume(site, tank), anchor="middle")
    if not known:
        yield Text(
            "unknown",
            (middle, y - 5.0),
            WORDS.say("schematic_rows.store.levels_unknown"),
            anchor="middle",
        )
    yield from _above(own, left=left, high=high, of=of)
    yield from _below(own, left=left, low=low, of=of)


def _volume(site: Site, tank: Tank) -> str:
    each = tank.stated_l or tank.rim_l / tank.count
    many = f"{tank.count} x " if tank.count > 1 else ""
    return many + (
        show(each, "volume", system=site.place.show)
        if each
        else WORDS.say("schematic_rows.volume.size_unknown")
    )


def _above(own: dict[str, Tag], *, left: float, high: float, of: str) -> Iterator[Mark]:
    """What fills it from above: mains through their gap, a truck's hose."""
    for at, kind in enumerate(("make-up", "truck fill")):
        tag = own.get(kind)
        if tag is not None:
            x = left + 14.0 + 14.0 * at
            yield Stroke("pipe", ((x, high + 1.5), (x, high + 4.0)), of=of)
            yield Symbol("fitting", (x, high + 6.0), tag.symbol, 4.0, of=of)
            yield from _numbered(tag, (x + 6.2, high + 6.5))


def _below(own: dict[str, Tag], *, left: float, low: float, of: str) -> Iterator[Mark]:
    for at, kind in enumerate(("tank drain", "link valve")):
        tag = own.get(kind)
        if tag is not None:
            x = left + 6.0 + 16.0 * at
            yield Stroke("pipe", ((x, low), (x, low - 2.0)), of=of)
            yield Symbol("fitting", (x, low - 4.0), tag.symbol, 4.0, of=of)
            yield from _numbered(tag, (x + 6.2, low - 4.4))


def _out(
    row: Row, start: Point, *, y: float, lane: float, per_row: int
) -> tuple[list[Mark], Point]:
    """An overflow with where it leads, or a line or lift."""
    if not row.spills:
        return _row(row, start, y=y, lane=lane, per_row=per_row)
    end, (tag,) = (FIRST_MM - 16.0, y), row.tags
    way = (start, end) if y == start[1] else (start, (lane, start[1]), (lane, y), end)
    marks: list[Mark] = [
        Stroke("overflow" if row.known else "unknown", way, of=row.of),
        Symbol("overflow", end, "flow", 3.0, of=row.of),
        *_numbered(tag, (end[0] + 6.0, y)),
    ]
    layer = (
        "unknown"
        if row.spills.startswith(WORDS.say("schematic_rows.rows.destination_unknown"))
        else "text"
    )
    marks.append(Text(layer, (end[0] + 11.0, y - 1.0), row.spills))
    return marks, end


def _roofs(
    site: Site, roofs: Sequence[Roof], *, numbered: Sequence[Tag], high: float
) -> Iterator[Mark]:
    """Each roof's way to the store: screens, first flush, the drain of its pipe."""
    runs = {name: run.name for run in pipe_tree(site).runs for name in run.carries[:1]}
    inlet, drawn = (TANK_LEFT_MM, high - 6.0), TANK_LEFT_MM - 8.0
    for at, roof in enumerate(roofs):
        y = inlet[1] - ROOF_STEP_MM * at
        of = f"roof {roof.name}"
        mine = [tag for tag in numbered if tag.of in (of, f"pipe {runs.get(roof.name)}")]
        yield Stroke("roof", ((0.0, y), (5.0, y + 3.0), (10.0, y)), of=of)
        yield Text("text", (0.0, y - 4.2), shortened(roof.name, 14))
        along = [ROOF_MM + 6.0 + STEP_MM * place for place in range(len(mine))]
        step = min(1.0, (drawn - 4.0 - ROOF_MM) / (along[-1] - ROOF_MM)) if along else 1.0
        xs = [ROOF_MM + step * (x - ROOF_MM) + 10.0 for x in along]
        yield from _way(mine, xs, start=(ROOF_MM, y), to=drawn, said={})
        ends = ((drawn, y), (drawn, inlet[1]), inlet) if at else ((drawn, y), inlet)
        yield Stroke("pipe", ends, of=of)


def _way(
    mine: Sequence[Tag], xs: Sequence[float], *, start: Point, to: float, said: dict[int, str]
) -> Iterator[Mark]:
    """A pipe from left to right with a gap for each sign, the signs and their numbers."""
    (x, y), of = start, mine[0].of if mine else ""
    half = SIGN_MM / 2.0 + 0.3
    lower = False
    for tag, at in zip(mine, xs, strict=True):
        if tag.kind in ENDS:
            yield Stroke("pipe", ((at, y), (at, y + 3.0)), of=of)
            yield Symbol("fitting", (at, y + 5.2), tag.symbol, SIGN_MM - 0.6, of=of)
            yield from _numbered(tag, (at, y + 11.4))
            if said.get(tag.number):
                below = y - (7.8 if lower else 4.0)
                yield Text("text", (at, below), said[tag.number], anchor="middle")
                lower = not lower
            continue
        yield Stroke("pipe", ((x, y), (at - half, y)), of=of)
        turned = 90.0 if tag.symbol == "screen" else 0.0
        yield Symbol("fitting", (at, y), tag.symbol, SIGN_MM, turned, of=of)
        yield from _numbered(tag, (at, y + 6.4))
        x = at + half
    if to > x:
        yield Stroke("pipe", ((x, y), (to, y)), of=of)


def _row(
    row: Row, start: Point, *, y: float, lane: float, per_row: int
) -> tuple[list[Mark], Point]:
    """A way out of a store, folded where it is longer than the sheet is wide."""
    of, marks = row.of, list[Mark]()
    layer = "pipe" if row.known else "unknown"
    marks.append(Stroke(layer, (start, (lane, start[1]), (lane, y), (FIRST_MM - 6.0, y)), of=of))
    if row.level:
        marks.append(Text("text", (start[0] + 1.0, start[1] + 1.1), row.level))
    x = FIRST_MM - 6.0
    for first in range(0, max(len(row.tags), 1), per_row):
        here = row.tags[first : first + per_row]
        if first:
            far = FIRST_MM + STEP_MM * per_row - 4.0
            fold = ((far, y), (far, y - FOLD_MM), (x, y - FOLD_MM), (x, y - ROW_MM))
            marks.append(Stroke("pipe", fold, of=of))
            y -= ROW_MM
        xs = [FIRST_MM + STEP_MM * at for at in range(len(here))]
        more = first + per_row < len(row.tags)
        ends = FIRST_MM + STEP_MM * per_row - 4.0 if more else (xs[-1] if xs else x)
        marks += _way(here, xs, start=(x, y), to=ends, said=row.levels)
    marks.append(Text("text", (FIRST_MM - 5.0, y - 11.8), _row_name(row)))
    return marks, (ends, y)


def _row_name(row: Row) -> str:
    return shortened(row.of.split(" ", 1)[1], 44)


def _lift_pipes(band: Band, inlets: dict[str, Point]) -> Iterator[Mark]:
    """From the end of a lift's row round the band's foot to the store that it fills.

    A store of another sheet is named.
    """
    foot = band.low_mm - 9.5
    for at, (row, end) in enumerate(band.lifts):
        if row.to not in inlets:
            far = (end[0] + 8.0, end[1])
            yield Stroke("pipe", (end, far), of=row.of)
            yield Symbol("pipe", far, "flow", 2.5, of=row.of)
            yield Text(
                "text",
                (far[0] + 2.5, end[1] - 1.0),
                WORDS.say("schematic_rows.lift_pipes.to", to=shortened(row.to, 24)),
            )
            continue
        x, inlet = TANK_LEFT_MM - 12.0 - 3.0 * at, inlets[row.to]
        y, enters = foot - 3.0 * at, inlet[1] + 3.0
        named = width_mm(_row_name(row), LETTER_MM, weight="Medium")
        down = max(end[0] + 6.0, FIRST_MM - 5.0 + named + 2.0)
        points = (
            end,
            (down, end[1]),
            (down, y),
            (x, y),
            (x, enters),
            (inlet[0], enters),
        )
        yield Stroke("pipe", points, of=row.of)
        yield Symbol("pipe", (inlet[0] - 3.0, enters), "flow", 2.5, of=row.of)


def _numbered(tag: Tag | None, at: Point) -> Iterator[Mark]:
    """A number in its ring."""
    if tag is not None:
        number = Text("text", (at[0], at[1] - 1.15), str(tag.number), anchor="middle", bold=True)
        yield Arc("fitting", at, RING_MM, of=tag.of)
        yield replace(number, of=tag.of)
