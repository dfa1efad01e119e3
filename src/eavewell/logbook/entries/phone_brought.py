"""The text of a telephone written into a log at once, where nobody looks at each line first."""

from datetime import datetime

from eavewell.faults import BadLog
from eavewell.logbook.entries.looked_at import looked_at, write_looked
from eavewell.logbook.entries.looked_words import taken_answer
from eavewell.logbook.entries.phone_text import FIRST, read_phone_text
from eavewell.logbook.store.store import Store
from eavewell.report.blocks import Block, paragraph
from eavewell.site.site import Site


def is_phone_text(data: bytes) -> bool:
    """Whether a file is what a log on a telephone hands back."""
    return FIRST.encode() in data[:1000]


def bring_phone_text(site: Site, store: Store, *, data: bytes, now: datetime) -> list[Block]:
    """Write what a telephone kept; what is questioned is written too, what is refused is told.

    Raises BadLog where the text did not come whole, and then nothing is written.
    """
    came = read_phone_text(data.decode("utf-8", errors="replace"))
    if not came.whole:
        raise BadLog(
            "The text of the telephone did not come whole: its checksum is another one. Bring the "
            "file again, or look at its lines one by one on the page of the log."
        )
    looked = looked_at(site, store, lines=came.lines, now=now)
    told = taken_answer(site, looked, added=write_looked(store, looked, now=now))
    there = f", {told['already']} there already" if told["already"] else ""
    asked = [f"{one.line.words.get('gauge', '')}: {says}" for one in looked for says in one.doubts]
    page: list[Block] = [paragraph(f"{told['new']:,} written{there}.")]
    page += [paragraph(f"Written, and to be looked at: {one}") for one in asked]
    return page + [paragraph(f"Not written: {one}") for one in told["left"]]
