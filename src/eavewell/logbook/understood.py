"""What was understood of a file of readings, before any of it is taken."""

from collections.abc import Iterable

import numpy as np

from eavewell.faults import Fault
from eavewell.logbook.midnights import said_at
from eavewell.logbook.taken.brought import Brought
from eavewell.report.blocks import Block, paragraph, ruled
from eavewell.site.site import Site

_TOLD = 20


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
