"""The schematic: what the water passes, in its order, each thing with the number of its tag.

Letters keep their height: what has no room beside or below goes on to a further sheet.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from eavewell.drawings.boxes import Box
from eavewell.drawings.compose import MARGIN_MM, size_mm
from eavewell.drawings.marks import Mark, Sheet, Stroke, View
from eavewell.drawings.schematic_key import KEY_MM, Line, column, lines_of_key, lines_that_fit
from eavewell.drawings.schematic_rows import WIDE_MM, Band, bands
from eavewell.drawings.tags import Tag, stores_in_order, tags
from eavewell.drawings.title_block import BLOCK_MM, framed
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.tables import texts

WORDS = texts.words("sheets")
TITLE = WORDS.say("schematic.title")
PAD_MM, LARGEST, USUAL, LEAST, STEP = 6.0, 1.2, 1.0, 0.15, 0.95


@dataclass(frozen=True, slots=True)
class Drawn:
    """The bands of one sheet and the scale at which they fit it."""

    bands: tuple[Band, ...]
    scale: float


def schematic(site: Site, *, size: str, block: dict[str, str]) -> tuple[Sheet, ...]:
    """The drawing with its key beside it, or on sheets after it where there is no room.

    size : a row of tables/sheet_sizes.csv. block : words of the title block.
    """
    numbered, paper = tags(site), _paper(size)
    listed = lines_of_key(site, numbered)
    beside = Box(paper.right - KEY_MM, paper.low, paper.right, paper.high)
    narrow = _padded(Box(paper.left, paper.low, beside.left, paper.high))
    drawn = _fitted(site, numbered, room=narrow, tanks=stores_in_order(site))
    roomy = drawn.scale >= USUAL and narrow.right - narrow.left >= WIDE_MM
    if roomy and len(listed) <= lines_that_fit(beside):
        views = (
            _view(drawn, narrow),
            View("key", tuple(_key([listed], [beside])), 1.0, 1.0, in_mm=True),
        )
        return (_sheet(site, "schematic", title=TITLE, views=views, size=size, block=block),)
    wide = _padded(paper)
    views_of_all = [(_view(one, wide),) for one in _shared_out(site, numbered, room=wide)] + [
        (one,) for one in _key_views(listed, paper)
    ]
    count = len(views_of_all)
    return tuple(
        _sheet(
            site,
            "schematic" if at == 1 else f"schematic-{at}",
            title=WORDS.say("schematic.page.sheet", title=TITLE, at=at, count=count),
            views=views,
            size=size,
            block=block,
        )
        for at, views in enumerate(views_of_all, 1)
    )


def _paper(size: str) -> Box:
    """Everything within the frame above the title block."""
    width, height = size_mm(size)
    return Box(MARGIN_MM, MARGIN_MM + BLOCK_MM, width - MARGIN_MM, height - MARGIN_MM)


def _padded(box: Box) -> Box:
    return Box(box.left + PAD_MM, box.low + PAD_MM, box.right - PAD_MM, box.high - PAD_MM)


def _sheet(
    site: Site, name: str, *, title: str, views: tuple[View, ...], size: str, block: dict[str, str]
) -> Sheet:
    words = (("sheet", title), *block.items(), ("scale", WORDS.say("schematic.sheet.not_to_scale")))
    says = WORDS.say("schematic.sheet.from_its_roofs_its", title=title, name=site.name)
    return framed(Sheet(name, title, size, views, words, says))


def _view(drawn: Drawn, room: Box) -> View:
    marks = tuple(mark for band in drawn.bands for mark in band.marks)
    return View("schematic", marks, drawn.scale, drawn.scale, (room.left, room.high), in_mm=True)


def _key(columns: Sequence[Sequence[Line]], rooms: Sequence[Box]) -> Iterator[Mark]:
    """Columns of the key with a line at the left of each but the sheet's first."""
    for lines, room in zip(columns, rooms, strict=False):
        yield from column(lines, room=room)
        if room.left > MARGIN_MM:
            yield Stroke("frame", ((room.left, room.low), (room.left, room.high)))


def _key_views(listed: Sequence[Line], paper: Box) -> Iterator[View]:
    """The key alone, as many columns a sheet as it has room for."""
    count = max(int((paper.right - paper.left) / KEY_MM), 1)
    wide = (paper.right - paper.left) / count
    rooms = [
        Box(paper.left + at * wide, paper.low, paper.left + (at + 1) * wide, paper.high)
        for at in range(count)
    ]
    each = lines_that_fit(paper)
    columns = [listed[first : first + each] for first in range(0, len(listed), each)]
    for first in range(0, len(columns), count):
        marks = tuple(_key(columns[first : first + count], rooms))
        yield View("key", marks, 1.0, 1.0, in_mm=True)


def _shared_out(site: Site, numbered: Sequence[Tag], *, room: Box) -> Iterator[Drawn]:
    """Stores in their order, as many a sheet as it has room for at the usual size."""
    all_bands = bands(site, numbered, wide_mm=room.right - room.left, scale=USUAL)
    groups: list[list[Tank]] = [[]]
    left = room.high - room.low
    for band in all_bands:
        if groups[-1] and band.high_mm > left:
            groups.append([])
            left = room.high - room.low
        groups[-1].append(band.tank)
        left -= band.high_mm
    for tanks in groups:
        yield _fitted(site, numbered, room=room, tanks=tanks)


def _fitted(site: Site, numbered: Sequence[Tag], *, room: Box, tanks: Sequence[Tank]) -> Drawn:
    """Bands one below the other at the largest scale at which the sheet is high enough."""
    wide, high = room.right - room.left, room.high - room.low
    scale = LARGEST
    while True:
        found = bands(site, numbered, wide_mm=wide / scale, scale=scale, tanks=tanks)
        fits = sum(band.high_mm for band in found) * scale <= high
        if (fits and (wide / scale >= WIDE_MM or scale <= USUAL)) or scale < LEAST:
            return Drawn(found, scale)
        scale = USUAL if scale > USUAL > scale * STEP else scale * STEP
