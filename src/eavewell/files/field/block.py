"""The way back from a field sheet: a readable text with a checksum, and its reading."""

import zlib
from dataclasses import dataclass, field

from eavewell.faults import BadRecord
from eavewell.files.field.levelling import Reading
from eavewell.units import read

FIRST, LAST = "EAVEWELL FIELD SHEET 1", "END OF FIELD SHEET"
MOST_CHARACTERS = 400_000
HOW = ("measured", "told", "guessed")
HEAD = ("site", "version", "day", "rod")
OF_ITEM = ("what", "of", "was", "value", "how", "note", "photos")


@dataclass(slots=True)
class Brought:
    """One item as it came back; was : what the site file said when the sheet was made."""

    id: str
    what: str = ""
    of: str = ""
    was: str = ""
    value: str = ""
    how: str = ""
    note: str = ""
    photos: str = ""


@dataclass(slots=True)
class Block:
    """Everything that came back.

    whole : False where its checksum tells that something was lost or changed on the way.
    book  : the lines of the level book as they were typed: point, backsight, foresight.
    odd   : lines that say nothing this reader knows.
    """

    check: str
    whole: bool
    site: str = ""
    version: str = ""
    day: str = ""
    rod: str = "ft"
    items: list[Brought] = field(default_factory=list)
    book: list[tuple[str, str, str]] = field(default_factory=list)
    odd: list[str] = field(default_factory=list)


def checksum(lines: list[str]) -> str:
    """Eight hexadecimal digits of the lines that say something, without spaces at their ends."""
    text = "\n".join(line for line in lines if line)
    return f"{zlib.crc32(text.encode('utf-8')):08x}"


def read_block(text: str) -> Block:
    """Read what came back; BadRecord where it is no field sheet at all."""
    if len(text) > MOST_CHARACTERS:
        raise BadRecord("That is too long for a field sheet.")
    tidy = text.replace("\ufeff", "").replace("\u00a0", " ").replace("\0", "")
    lines = [line.strip() for line in tidy.splitlines()]
    if FIRST not in lines:
        says = f"That is no field sheet: the line '{FIRST}' is missing at its beginning."
        raise BadRecord(says)
    lines = lines[lines.index(FIRST) :]
    ended = LAST in lines
    lines = lines[: lines.index(LAST)] if ended else lines
    said = next((line[6:].strip() for line in lines if line.startswith("check:")), "")
    lines = [line for line in lines if line and not line.startswith("check:")]
    found = checksum(lines)
    block = Block(found, whole=ended and said == found)
    for line in lines[1:]:
        _take(block, line)
    return block


def _take(block: Block, line: str) -> None:
    key, colon, said = line.partition(":")
    said = said.strip()
    if colon and key == "item":
        block.items.append(Brought(said))
    elif colon and key == "reading":
        block.book.append(_reading(said))
    elif colon and block.items and key in OF_ITEM:
        setattr(block.items[-1], key, said)
    elif colon and key in HEAD:
        setattr(block, key, said)
    else:
        block.odd.append(line)


def _reading(said: str) -> tuple[str, str, str]:
    point, back, fore, *_ = [one.strip() for one in said.rsplit("|", 2)] + ["", ""]
    return point, back, fore


def readings(block: Block) -> list[Reading]:
    """The level book of a block in m; a bare number is in the unit of the rod.

    Raises BadQuantity where a reading cannot be read.
    """
    return [
        Reading(point, rod_m(back, unit=block.rod), rod_m(fore, unit=block.rod))
        for point, back, fore in block.book
    ]


def rod_m(typed: str, *, unit: str) -> float | None:
    """A rod reading in m, such as "4.32", "4 ft 3-7/8 in" or "1.317 m"; None for none."""
    if not typed:
        return None
    bare = typed.replace(".", "", 1).replace(",", "").isdecimal()
    return read(f"{typed} {'m' if unit == 'm' else 'ft'}" if bare else typed, "length")
