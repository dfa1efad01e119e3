"""The text that a log kept on a telephone hands back: entries in words, with a checksum."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from eavewell.faults import BadLog
from eavewell.files.field.block import checksum
from eavewell.logbook.entries.asked import ASKED
from eavewell.logbook.entries.looked_at import Line
from eavewell.logbook.kept import Kind
from eavewell.logbook.store.documents import KINDS

FIRST, LAST = "EAVEWELL PHONE LOG 1", "END OF PHONE LOG"
MOST_CHARACTERS = 400_000
MOST_ENTRIES = 2_000
_HEAD = ("site", "made", "day")


@dataclass(slots=True)
class PhoneText:
    """What came back.

    whole : False where its checksum tells that something was lost or changed on the way.
    lines : the entries. odd : lines that say nothing this reader knows.
    """

    whole: bool
    site: str = ""
    made: str = ""
    day: str = ""
    lines: list[Line] = field(default_factory=list)
    odd: list[str] = field(default_factory=list)


def read_phone_text(text: str) -> PhoneText:
    """Read what came back; BadLog where it is no log of a telephone at all."""
    if len(text) > MOST_CHARACTERS:
        raise BadLog("That is too long for a log kept on a telephone.")
    tidy = text.replace("\ufeff", "").replace("\u00a0", " ").replace("\0", "")
    lines = [line.strip() for line in tidy.splitlines()]
    if FIRST not in lines:
        raise BadLog(f"That is no log of a telephone: the line '{FIRST}' is missing.")
    lines = lines[lines.index(FIRST) :]
    ended = LAST in lines
    lines = lines[: lines.index(LAST)] if ended else lines
    said = next((line[6:].strip() for line in lines if line.startswith("check:")), "")
    lines = [line for line in lines if line and not line.startswith("check:")]
    return _taken_apart(lines[1:], whole=ended and said == checksum(lines))


def _taken_apart(lines: Sequence[str], *, whole: bool) -> PhoneText:
    found, words = PhoneText(whole), dict[str, str]()
    kind: Kind | None = None
    for line in lines:
        key, colon, said = line.partition(":")
        said = said.strip()
        if colon and key == "entry":
            kind = next((one for one in KINDS if one == said), None)
            words = {}
            if kind is None:
                found.odd.append(line)
            else:
                found.lines.append(Line(f"{len(found.lines) + 1}", kind, words))
        elif colon and kind and key in {box.name for box in ASKED[kind].boxes}:
            words[key] = said
        elif colon and not found.lines and key in _HEAD:
            setattr(found, key, said)
        else:
            found.odd.append(line)
    if len(found.lines) > MOST_ENTRIES:
        raise BadLog(f"More than {MOST_ENTRIES:,} entries: hand them back in several texts.")
    return found
