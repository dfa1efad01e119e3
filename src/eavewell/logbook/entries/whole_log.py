"""A whole log as one text file, and back: to keep a copy, to move it, or to hand it on.

A line is one entry as JSON, the first says what the file is. Corrections are not in it, only what
stands.
"""

import json
from collections.abc import Iterator
from typing import IO

from eavewell.faults import BadLog, Fault
from eavewell.logbook.store.documents import KINDS, entry_from, text_of
from eavewell.logbook.store.store import Store
from eavewell.site.entry import Entry
from eavewell.site.site import Site

LAYOUT = "eavewell-log/1"
_FAULTS = 20


def is_whole_log(data: bytes) -> bool:
    """True for a file that this module wrote."""
    return data[:200].lstrip().startswith(b'{"log"') and LAYOUT.encode() in data[:200]


def written_to(file: IO[str], site: Site, *, store: Store) -> int:
    """Write every entry that stands; how many."""
    file.write(json.dumps({"log": LAYOUT, "site": site.name}, ensure_ascii=False) + "\n")
    return sum(bool(file.write(line + "\n")) for line in _lines(store))


def _lines(store: Store) -> Iterator[str]:
    for kind in KINDS:
        for _, entry in store.entries(kind):
            yield f'{{"kind": "{kind}", {text_of(entry)[1:]}'


def entries_in(data: bytes, name: str) -> tuple[Entry, ...]:
    """The entries of a file that `written_to` wrote.

    Raises BadLog with every line that could not be read.
    """
    found: list[Entry] = []
    faults: list[Fault] = []
    for number, line in enumerate(data.decode("utf-8", "replace").splitlines(), 1):
        if number == 1 or not line.strip():
            continue
        try:
            found.append(_entry(line))
        except BadLog as refused:
            faults.append(Fault(refused.faults[0].says, file=name, line=number))
        if len(faults) >= _FAULTS:
            break
    if faults:
        raise BadLog(faults)
    return tuple(found)


def _entry(line: str) -> Entry:
    try:
        plain = json.loads(line)
        said = plain.pop("kind")
        kind = next(one for one in KINDS if one == said)
    except (ValueError, KeyError, TypeError, AttributeError, StopIteration):
        raise BadLog("It is no entry of a log.") from None
    return entry_from(kind, plain)
