"""The schematic: what the water passes, in its order, each thing with the number of its tag."""

from collections.abc import Sequence

from eavewell.drawings.boxes import Box
from eavewell.drawings.compose import MARGIN_MM, size_mm
from eavewell.drawings.marks import Sheet, Stroke, View
from eavewell.drawings.schematic_key import KEY_MM, key
from eavewell.drawings.schematic_rows import Band, bands
from eavewell.drawings.tags import tags
from eavewell.drawings.title_block import BLOCK_MM, framed
from eavewell.site.site import Site

TITLE = "Schematic with tag numbers"
PAD_MM, LARGEST, LEAST, STEP = 6.0, 1.4, 0.15, 0.9


def schematic(site: Site, *, size: str, block: dict[str, str]) -> Sheet:
    """One sheet with its key; size : a row of tables/sheet_sizes.csv."""
    width, height = size_mm(size)
    low, high = MARGIN_MM + BLOCK_MM, height - MARGIN_MM
    right = width - MARGIN_MM
    room = Box(MARGIN_MM + PAD_MM, low + PAD_MM, right - KEY_MM - PAD_MM, high - PAD_MM)
    numbered = tags(site)
    found, scale = _fitted(site, room)
    marks = tuple(mark for band in found for mark in band.marks)
    drawn = View("schematic", marks, scale, scale, (room.left, room.high))
    listed = key(site, numbered, room=Box(right - KEY_MM, low, right, high))
    divider = Stroke("frame", ((right - KEY_MM, low), (right - KEY_MM, high)))
    words = (("sheet", TITLE), *block.items(), ("scale", "not to scale; outlets at their levels"))
    says = f"Schematic of {site.name} from its roofs to its taps; the key names every number."
    views = (drawn, View("key", (divider, *listed), 1.0, 1.0))
    return framed(Sheet("schematic", TITLE, size, views, words, says))


def _fitted(site: Site, room: Box) -> tuple[Sequence[Band], float]:
    """Bands one below the other at the largest scale at which the sheet is high enough."""
    wide, high, numbered = room.right - room.left, room.high - room.low, tags(site)
    scale = LARGEST
    while True:
        found = bands(site, numbered, wide_mm=wide / scale, scale=scale)
        needed = sum(band.high_mm for band in found) * scale
        if needed <= high or scale < LEAST:
            return found, scale
        scale *= STEP
