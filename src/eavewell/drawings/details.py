"""Details chosen by the design, as many a sheet as it has room for, each at its own scale."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import log

from eavewell.drawings.boxes import Box
from eavewell.drawings.compose import MARGIN_MM, size_mm
from eavewell.drawings.detail import Detail
from eavewell.drawings.details_barrel import barrels
from eavewell.drawings.details_roof import standpipes, transitions
from eavewell.drawings.details_sump import sumps
from eavewell.drawings.details_tank import air_breaks, bases
from eavewell.drawings.details_wall import walls
from eavewell.drawings.letters import shortened, wrapped
from eavewell.drawings.marks import HEADING_MM, LETTER_MM, Mark, Sheet, Stroke, Text, View
from eavewell.drawings.scales import extent, view_in
from eavewell.drawings.title_block import BLOCK_MM, framed
from eavewell.hydraulics.first_flush_pipe import FlushPipe
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.tables import texts

WORDS = texts.words("sheets")
CELL_MM2, COLUMNS, LEAST_MM, SHAPES = 15000.0, 4, 84.0, (0.3, 1.6)
HEAD_MM, SIDE_MM, NOTE_MM, PAD_MM, UNDER_MM, WALL_MM_M = 16.0, 20.0, 4.3, 5.0, 8.0, 34.0
ON_END_MM, ABOVE_MM, WALL_SIDE_MM = 36.0, 13.0, 18.0


def chosen(site: Site, flushes: Sequence[FlushPipe]) -> tuple[Detail, ...]:
    """Every detail that a site asks for, in the order of flow."""
    return (
        *standpipes(flushes, site.place.show),
        *transitions(site),
        *barrels(site),
        *sumps(site),
        *bases(site),
        *air_breaks(site),
        *walls(site),
    )


def details(
    site: Site, flushes: Sequence[FlushPipe], *, size: str, block: dict[str, str]
) -> tuple[Sheet, ...]:
    """As many sheets as the details need, none where there are none.

    size : a row of tables/sheet_sizes.csv. block : words of the title block.
    """
    every, system = chosen(site, flushes), site.place.show
    sheets_needed = -(-len(every) // _a_sheet(size))
    most = -(-len(every) // max(sheets_needed, 1)) or 1
    groups = [every[first : first + most] for first in range(0, len(every), most)]
    sheets = []
    for number, group in enumerate(groups, 1):
        title = (
            WORDS.say("details.page.details")
            if len(groups) == 1
            else WORDS.say("details.page.details_sheet", number=number, groups=len(groups))
        )
        words = (
            ("sheet", title),
            *block.items(),
            ("scale", WORDS.say("details.page.scale_as_each")),
        )
        says = WORDS.say(
            "details.page.says", name=site.name, title="; ".join(one.title for one in group)
        )
        cells = _best(group, size=size, system=system)
        views = tuple(_cells(group, cells, system=system))
        sheets.append(framed(Sheet(f"details-{number}", title, size, views, words, says)))
    return tuple(sheets)


def _a_sheet(size: str) -> int:
    """How many details a sheet has room for."""
    width, height = size_mm(size)
    area = (width - 2.0 * MARGIN_MM) * (height - 2.0 * MARGIN_MM - BLOCK_MM)
    return max(int(area / CELL_MM2), 1)


def _best(group: Sequence[Detail], *, size: str, system: Show) -> list[Box]:
    """Cells in so many columns that the details come out largest, all taken together."""
    shapes = [_shape(one) for one in group]
    tried = [_rooms(size, shapes, columns=columns) for columns in range(1, COLUMNS + 1)]

    def larger(cells: list[Box]) -> float:
        pairs = zip(group, cells, strict=True)
        return sum(log(_seen(one, cell, system=system)[0].across) for one, cell in pairs)

    return max(tried, key=larger)


def _seen(detail: Detail, cell: Box, *, system: Show) -> tuple[View, str]:
    """The detail in its cell, and what its scale is called."""
    room = _room(detail, cell)
    if not detail.scaled:
        return _filling(detail, room), WORDS.say("details.seen.not_scale")
    view, scale = view_in(detail.title, detail.marks, room=room, system=system)
    return view, scale.called


def _room(detail: Detail, cell: Box) -> Box:
    """What a cell leaves for the drawing, with space around it for words."""
    under = UNDER_MM + NOTE_MM * len(_wrapped(detail, cell))
    side = SIDE_MM if detail.scaled else WALL_SIDE_MM
    return Box(
        cell.left + side, cell.low + under + 7.0, cell.right - side, cell.high - HEAD_MM - 7.0
    )


def _cells(group: Sequence[Detail], cells: Sequence[Box], *, system: Show) -> Iterator[View]:
    """One view for each detail, and one for titles, notes and the lines between."""
    around: list[Mark] = []
    for detail, cell in zip(group, cells, strict=False):
        notes = _wrapped(detail, cell)
        view, called = _seen(detail, cell, system=system)
        low = cell.low + UNDER_MM + NOTE_MM * len(notes) - 3.0
        yield replace(
            view, within_mm=(cell.left + 2.0, low, cell.right - 2.0, cell.high - HEAD_MM + 1.0)
        )
        around += _written(detail, cell, called=called, notes=notes)
    yield View("titles", (*around, *_between(cells)), 1.0, 1.0, in_mm=True)


def _filling(detail: Detail, room: Box) -> View:
    """What is not to scale takes the width of its cell; its words hang below y = 0."""
    seen = extent(detail.marks)
    mm_m = min((room.right - room.left) / (seen.right - seen.left), WALL_MM_M)
    mm_m *= min(max(room.high - room.low, 1.0) / (ON_END_MM + ABOVE_MM), 1.0)
    at = (
        (room.left + room.right - mm_m * (seen.left + seen.right)) / 2.0,
        max((room.low + room.high) / 2.0, min(room.low + ON_END_MM, room.high - ABOVE_MM)),
    )
    return View(detail.title, detail.marks, mm_m, mm_m, at)


def _shape(detail: Detail) -> float:
    """How wide it is for its height, within what a cell follows."""
    seen = extent(detail.marks)
    least, most = SHAPES
    return min(max((seen.right - seen.left) / max(seen.high - seen.low, 1e-3), least), most)


def _rooms(size: str, shapes: Sequence[float], *, columns: int) -> list[Box]:
    """Cells of one height, row by row, each as wide as its detail asks for."""
    width, height = size_mm(size)
    low, high = MARGIN_MM + BLOCK_MM, height - MARGIN_MM
    tall = (high - low) / -(-len(shapes) // columns)
    cells: list[Box] = []
    for first in range(0, len(shapes), columns):
        here = shapes[first : first + columns]
        spare = width - 2.0 * MARGIN_MM - LEAST_MM * len(here)
        left, top = MARGIN_MM, high - tall * first / columns
        for shape in here:
            right = left + LEAST_MM + spare * shape / sum(here)
            cells.append(Box(left, top - tall, right, top))
            left = right
    return cells


def _between(cells: Sequence[Box]) -> Iterator[Mark]:
    left, high = min(one.left for one in cells), max(one.high for one in cells)
    for one in cells:
        if one.left > left:
            yield Stroke("frame", ((one.left, one.low), (one.left, one.high)))
        if one.high < high:
            yield Stroke("frame", ((one.left, one.high), (one.right, one.high)))


def _wrapped(detail: Detail, cell: Box) -> list[str]:
    most = cell.right - cell.left - 2.0 * PAD_MM
    return [
        line
        for note in detail.notes
        for line in wrapped(note, LETTER_MM, most_mm=most, weight="Medium")
    ]


def _written(detail: Detail, cell: Box, *, called: str, notes: Sequence[str]) -> Iterator[Mark]:
    left, most = cell.left + PAD_MM, cell.right - cell.left - 2.0 * PAD_MM
    (title, *_) = wrapped(shortened(detail.title, 48), HEADING_MM, most_mm=most)
    yield Text("text", (left, cell.high - 8.0), title, HEADING_MM, bold=True)
    yield Text("text", (left, cell.high - 13.2), called)
    for at, line in enumerate(notes):
        y = cell.low + UNDER_MM - 4.0 + NOTE_MM * (len(notes) - 1 - at)
        yield Text("text", (left, y), line)
