"""What several site files say otherwise, field by field, as it is written in each."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from eavewell.faults import BadQuantity
from eavewell.files.site.fields import Field, fields
from eavewell.files.site.toml_values import value_text
from eavewell.site.place import Show
from eavewell.units import quantities, read, show, sides

Way = tuple[str, ...]
THERE = "in the file"
# more places than anybody writes: of a number, and of a size that is not below its unit
_LONG = re.compile(r"[0-9]+\.[0-9]{7,}")
_LONG_SIZE = re.compile(r"[1-9][0-9,]*\.[0-9]{4,}|[0-9]+\.[0-9]{7,}")


@dataclass(frozen=True, slots=True)
class Differs:
    """One field that differs.

    way    : keys and names of parts, down from the top of the file.
    label  : the parts it belongs to and its own label, in words.
    values : as written in each file, what was reckoned to many places rounded as it is printed;
             "" where it is not in it.
    """

    way: Way
    label: str
    values: tuple[str, ...]


def differing(files: Sequence[Mapping[str, Any]], *, system: Show) -> tuple[Differs, ...]:
    """Only the fields that differ; a part that some files do not have stands there as a whole.

    system : "us" or "metric", in which what is rounded is printed.
    """
    told = [dict(_told(one, "site", way=(), words=())) for one in files]
    ways = dict.fromkeys(way for one in told for way in one)
    found: list[Differs] = []
    whole: set[Way] = set()
    for way in ways:
        if any(way[:length] in whole for length in range(1, len(way))):
            continue
        said = [one.get(way) for one in told]
        values = tuple(one.text if one else "" for one in said)
        if len(set(values)) > 1:
            label = next(one.label for one in said if one)
            printed = tuple(one.printed(system) if one else "" for one in said)
            found.append(Differs(way, label, printed))
            whole |= {way} if THERE in values else set()
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Said:
    """One field of one file, or a part of it; quantity : of a size with its unit."""

    label: str
    text: str
    quantity: str = ""

    def printed(self, system: Show) -> str:
        """As it is written; of more figures than anybody reads, as a size is printed."""
        is_size = self.quantity in quantities() and sides(self.text) is None
        if is_size and _LONG_SIZE.search(self.text):
            try:
                return show(read(self.text, self.quantity), self.quantity, system=system)
            except BadQuantity:
                pass
        return _LONG.sub(lambda found: f"{float(found[0]):.6g}", self.text)


def _told(
    raw: Mapping[str, Any], section: str, *, way: Way, words: tuple[str, ...]
) -> Iterator[tuple[Way, _Said]]:
    """Every field and every part of a file: its way, and what is written."""
    for key, value in raw.items():
        field = fields().get(section, {}).get(key)
        label = field.label if field else key
        at = (*way, key)
        inner = _parts(value, field)
        if inner is None:
            quantity = field.quantity if field and isinstance(value, str) else ""
            yield at, _Said(_label((*words, label)), _written(value), quantity)
            continue
        for name, part in inner:
            below = (*at, name) if name else at
            called = (*words, f"{label} {name}".rstrip() if name else label)
            yield below, _Said(_label(called), THERE)
            within = "goal" if field and field.inner == "goals" else field.inner if field else ""
            yield from _told(part, within, way=below, words=called)


def _parts(value: object, field: Field | None) -> list[tuple[str, Mapping[str, Any]]] | None:
    """The parts of a table or a list of tables, each with its name; None for a plain value."""
    if field is None or not field.inner:
        return None
    if isinstance(value, dict):
        if field.inner == "goals":
            return [(name, one) for name, one in value.items() if isinstance(one, dict)]
        return [("", value)]
    if isinstance(value, list) and all(isinstance(one, dict) for one in value):
        return list(zip(_names(value), value, strict=True))
    return None


def _names(parts: Sequence[Mapping[str, Any]]) -> list[str]:
    """What each part of a list is called; its row where its name tells nothing."""
    named = [str(one.get("name", "")) for one in parts]
    return [
        name if name and named.count(name) == 1 else str(row + 1) for row, name in enumerate(named)
    ]


def _label(words: tuple[str, ...]) -> str:
    *parts, last = words
    return f"{', '.join(parts)}: {last}" if parts else last


def _written(value: object) -> str:
    if isinstance(value, list) and all(isinstance(one, str) for one in value):
        return ", ".join(value)
    return value if isinstance(value, str) else value_text(value)
