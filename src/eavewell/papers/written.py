"""Papers written into a folder; what a person put or changed there is never touched."""

import csv
import hashlib
from collections.abc import Iterable, Mapping, Set
from io import StringIO
from pathlib import Path

from eavewell.faults import EavewellFault, Fault
from eavewell.papers.put_together import put_together

CONTENTS, COLUMNS = "contents.csv", ("file", "sha256")


def write_papers(found: Mapping[str, str | bytes], folder: Path | str) -> tuple[Path, ...]:
    """Write every paper, and contents.csv by which they are known again; return their paths.

    A paper of an earlier run is replaced, or taken away where it is no longer one. Raises
    EavewellFault, with everything as it was, where a file is in the way that is not ours or that
    was changed since, and where the disk refuses one.
    """
    folder = Path(folder)
    before, now = _before(folder), _pairs(found)
    _refuse(folder, found, known=before | now)
    # named first, old and new, so that what a run that was killed leaves is known again
    first, last = ((CONTENTS, _contents(pairs).encode()) for pairs in (before | now, now))
    new = ((name, _bytes(text)) for name, text in found.items())
    ours = [name for name, known in before if _sum_of(folder / name) == known]
    put_together((first, *new, *((name, None) for name in ours if name not in found), last), folder)
    return tuple(folder / name for name in found)


def _refuse(folder: Path, found: Iterable[str], *, known: Set[tuple[str, str]]) -> None:
    """Every file in the way, as one fault each."""
    for way in (folder, *folder.parents):
        if way.exists() and not way.is_dir():
            raise EavewellFault(f"{way} is a file: name a folder for the papers.")
    faults = []
    for name in found:
        path = folder / name
        if path.parent.is_file() or (path.exists() and (name, _sum_of(path)) not in known):
            says = (
                "Not ours, or changed since it was written: move it, or name another folder. "
                "Nothing was written."
            )
            faults.append(Fault(says, where=str(path)))
    if faults:
        raise EavewellFault(faults)


def _before(folder: Path) -> frozenset[tuple[str, str]]:
    """Names and sums of what earlier runs wrote; none where there was none."""
    path = folder / CONTENTS
    if not path.is_file():
        return frozenset()
    text = path.read_text(encoding="utf-8", errors="replace")
    head, *rows = list(csv.reader(text.splitlines())) or [[]]
    if tuple(head) != COLUMNS:
        raise EavewellFault(f"{path} is not ours: name another folder. Nothing was written.")
    return frozenset((row[0], row[1]) for row in rows if len(row) == 2 and _stays_inside(row[0]))


def _stays_inside(name: str) -> bool:
    path = Path(name)
    return not path.is_absolute() and ".." not in path.parts


def _contents(pairs: Iterable[tuple[str, str]]) -> str:
    page = StringIO()
    writer = csv.writer(page, lineterminator="\n")
    writer.writerow(COLUMNS)
    writer.writerows(sorted(pairs))
    return page.getvalue()


def _pairs(found: Mapping[str, str | bytes]) -> frozenset[tuple[str, str]]:
    return frozenset((name, _sum(_bytes(text))) for name, text in found.items())


def _sum_of(path: Path) -> str:
    """The sum of a file; "" for a thing that is none."""
    return _sum(path.read_bytes()) if path.is_file() else ""


def _bytes(text: str | bytes) -> bytes:
    return text.encode("utf-8") if isinstance(text, str) else text


def _sum(text: bytes) -> str:
    return hashlib.sha256(text).hexdigest()
