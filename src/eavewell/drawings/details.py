"""Details chosen by the design, as many sheets of six as they need, each at its own scale."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from eavewell.drawings.boxes import Box
from eavewell.drawings.compose import MARGIN_MM, size_mm
from eavewell.drawings.detail import Detail
from eavewell.drawings.details_barrel import barrels
from eavewell.drawings.details_roof import standpipes, transitions
from eavewell.drawings.details_sump import sumps
from eavewell.drawings.details_tank import air_breaks, bases
from eavewell.drawings.details_wall import walls
from eavewell.drawings.letters import shortened, wrapped
from eavewell.drawings.marks import Mark, Sheet, Stroke, Text, View
from eavewell.drawings.scales import extent, view_in
from eavewell.drawings.title_block import BLOCK_MM, framed
from eavewell.hydraulics.first_flush_pipe import FlushPipe
from eavewell.site.place import Show
from eavewell.site.site import Site

COLUMNS, ROWS = 3, 2
HEAD_MM, SIDE_MM, NOTE_MM, PAD_MM, UNDER_MM = 15.0, 27.0, 3.2, 5.0, 8.0


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
    every = chosen(site, flushes)
    sheets_needed = -(-len(every) // (COLUMNS * ROWS))
    most = -(-len(every) // max(sheets_needed, 1)) or 1
    groups = [every[first : first + most] for first in range(0, len(every), most)]
    sheets = []
    for number, group in enumerate(groups, 1):
        title = "Details" if len(groups) == 1 else f"Details, sheet {number} of {len(groups)}"
        words = (("sheet", title), *block.items(), ("scale", "as each is marked"))
        says = f"Details of {site.name}: {'; '.join(one.title for one in group)}."
        views = tuple(_cells(group, size=size, system=site.place.show))
        sheets.append(framed(Sheet(f"details-{number}", title, size, views, words, says)))
    return tuple(sheets)


def _cells(group: Sequence[Detail], *, size: str, system: Show) -> Iterator[View]:
    """One view for each detail, and one for titles, notes and the lines between."""
    around: list[Mark] = []
    for detail, cell in zip(group, _rooms(size, len(group)), strict=False):
        notes = _wrapped(detail, cell)
        under = UNDER_MM + NOTE_MM * len(notes)
        room = Box(
            cell.left + SIDE_MM,
            cell.low + under + 6.0,
            cell.right - SIDE_MM,
            cell.high - HEAD_MM - 7.0,
        )
        view, scale = view_in(detail.title, detail.marks, room=room, system=system)
        if not detail.scaled:
            view = _filling(detail, cell, under=under)
        within = (
            cell.left + 2.0,
            cell.low + under - 2.0,
            cell.right - 2.0,
            cell.high - HEAD_MM + 1.0,
        )
        yield replace(view, within_mm=within)
        called = scale.called if detail.scaled else "not to scale"
        around += _written(detail, cell, called=called, notes=notes)
    yield View("titles", (*around, *_between(_rooms(size, len(group)))), 1.0, 1.0)


def _filling(detail: Detail, cell: Box, *, under: float) -> View:
    """What is not to scale takes the width of its cell."""
    seen = extent(detail.marks)
    mm_m = min((cell.right - cell.left - 14.0) / (seen.right - seen.left), 30.0)
    middle = (cell.low + under + cell.high - HEAD_MM) / 2.0
    at = (
        (cell.left + cell.right - mm_m * (seen.left + seen.right)) / 2.0,
        middle - mm_m * (seen.low + seen.high) / 2.0,
    )
    return View(detail.title, detail.marks, mm_m, mm_m, at)


def _rooms(size: str, count: int) -> list[Box]:
    """As few and as large as so many details ask for, row by row."""
    columns, rows = min(count, COLUMNS), -(-count // COLUMNS)
    if count == COLUMNS + 1:
        columns = 2
    width, height = size_mm(size)
    low, high = MARGIN_MM + BLOCK_MM, height - MARGIN_MM
    wide, tall = (width - 2.0 * MARGIN_MM) / columns, (high - low) / rows
    return [
        Box(
            MARGIN_MM + column * wide,
            high - (row + 1) * tall,
            MARGIN_MM + (column + 1) * wide,
            high - row * tall,
        )
        for row in range(rows)
        for column in range(columns)
    ]


def _between(rooms: Sequence[Box]) -> Iterator[Mark]:
    low, high = min(one.low for one in rooms), max(one.high for one in rooms)
    left, right = min(one.left for one in rooms), max(one.right for one in rooms)
    for x in sorted({one.left for one in rooms} - {left}):
        yield Stroke("frame", ((x, low), (x, high)))
    for y in sorted({one.low for one in rooms} - {low}):
        yield Stroke("frame", ((left, y), (right, y)))


def _wrapped(detail: Detail, cell: Box) -> list[str]:
    most = cell.right - cell.left - 2.0 * PAD_MM
    return [
        line for note in detail.notes for line in wrapped(note, 1.7, most_mm=most, weight="Medium")
    ]


def _written(detail: Detail, cell: Box, *, called: str, notes: Sequence[str]) -> Iterator[Mark]:
    left = cell.left + PAD_MM
    yield Text("text", (left, cell.high - 7.0), shortened(detail.title, 48), 2.4, bold=True)
    yield Text("text", (left, cell.high - 11.5), called, 1.7)
    for at, line in enumerate(notes):
        y = cell.low + UNDER_MM - 4.5 + NOTE_MM * (len(notes) - 1 - at)
        yield Text("text", (left, y), line, 1.7)
