"""Which roofs a paper told before: two papers that differ by few roofs tell those roofs."""

import hashlib
import json
from collections.abc import Iterable
from pathlib import Path

from eavewell.district.folder_files import write_text
from eavewell.district.grouped import few, smallest_group
from eavewell.district.roof_rows import Roofs

# one digest a line; it stays in the folder of results
FILE = "told_roofs.txt"
_DIGITS = 16


def digests_of(roofs: Iterable[Roofs]) -> frozenset[str]:
    """Every roof by a digest of its row."""
    return frozenset(_digest(row) for some in roofs for row in _rows(some))


def _rows(roofs: Roofs) -> Iterable[tuple[object, ...]]:
    names = [name for name in Roofs.__slots__ if name != "row"]
    return zip(*(getattr(roofs, name).tolist() for name in names), strict=True)


def _digest(row: tuple[object, ...]) -> str:
    return hashlib.sha256(json.dumps(row).encode()).hexdigest()[:_DIGITS]


def nearly_told(folder: Path, told: frozenset[str]) -> str:
    """A caution where the paper before told the same roofs but for very few; "" for none."""
    try:
        before = frozenset((folder / FILE).read_text(encoding="utf-8").split())
    except (OSError, ValueError):
        return ""
    more = [len(one) for one in (told - before, before - told)]
    if not any(one > 0 and few(one) for one in more):
        return ""
    return (
        f"The paper before told the same roofs but for fewer than {smallest_group()}: who has both "
        "can find those by taking one from the other. Hand on one of the two, never both."
    )


def keep_told(folder: Path, told: frozenset[str]) -> None:
    """Remember which roofs the paper tells."""
    write_text(folder / FILE, "".join(f"{one}\n" for one in sorted(told)))
