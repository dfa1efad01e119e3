"""What was understood of a file of readings, before any of it is taken."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from eavewell.faults import BadLog, Fault
from eavewell.logbook.entries.bring import AsRead
from eavewell.logbook.entries.whole_log import entries_in, is_whole_log
from eavewell.logbook.readings.midnights import said_at
from eavewell.logbook.store.documents import kind_of
from eavewell.logbook.store.store import Store
from eavewell.logbook.taken import read_file
from eavewell.logbook.taken.brought import Brought
from eavewell.report.blocks import Block, paragraph, ruled
from eavewell.site.entry import Entry
from eavewell.site.site import Site

_TOLD = 20


@dataclass(frozen=True, slots=True, eq=False)
class Understood:
    """A file that was looked at.

    count : of what can be taken of it; 0 where nothing can.
    """

    page: tuple[Block, ...]
    count: int


def understood(site: Site, store: Store, *, name: str, data: bytes, how: AsRead) -> Understood:
    """What was understood of a file of readings or a whole log; nothing is written."""
    try:
        if is_whole_log(data):
            return _of_log(entries_in(data, name))
        brought = read_file(data, site, name=name, gauge=how.named, unit=how.unit, kept=store)
    except BadLog as refused:
        brought = Brought(faults=refused.faults)
    return Understood(tuple(understood_page(site, brought)), brought.count)


def _of_log(entries: Sequence[Entry]) -> Understood:
    """A whole log: how many entries of each kind."""
    kinds = Counter(kind_of(one) for one in entries)
    lines = [(kind, f"{count:,}") for kind, count in kinds.items()]
    page: list[Block] = [paragraph("A whole log."), ruled(("Kind", "Entries"), lines, names=(0,))]
    return Understood(tuple(page), len(entries))


def understood_page(site: Site, brought: Brought) -> list[Block]:
    """Readings of each gauge, how they were read, and what is to be looked at."""
    if brought.faults:
        return [paragraph("Nothing of it can be taken:"), *_lines(map(_where, brought.faults))]
    zone = site.log.zone
    lines = [
        (one.gauge, f"{one.count:,}", *(said_at(at, zone) for at in _ends(one.at_utc)))
        for one in brought.readings
        if one.count
    ]
    page: list[Block] = [ruled(("Gauge", "Readings", "From", "To"), lines, names=(0, 2, 3))]
    page += _lines(brought.notes)
    if brought.questions:
        page.append(paragraph("To be looked at; it is taken as it came:"))
        page += _lines(one.says for one in brought.questions)
    return page


def _ends(
    at_utc: "np.ndarray[tuple[int, ...], np.dtype[np.datetime64]]",
) -> Iterable[np.datetime64]:
    return at_utc.min(), at_utc.max()


def _where(fault: Fault) -> str:
    return f"Line {fault.line}: {fault.says}" if fault.line else fault.says


def _lines(says: Iterable[str]) -> list[Block]:
    told = list(says)
    more = len(told) - _TOLD
    page: list[Block] = [paragraph(one) for one in told[:_TOLD]]
    return [*page, paragraph(f"And {more:,} more.")] if more > 0 else page
