"""What a visit to a site asks, in the order in which one walks it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from eavewell.files.site.fields import Field, fields
from eavewell.files.site.toml_spans import Address
from eavewell.files.site.toml_splices import standing_at
from eavewell.tables import rows

BETWEEN = "; "  # of several values of one item


@dataclass(frozen=True, slots=True)
class Item:
    """One thing to find out or to check.

    id, address : its name on the sheet, and the way down to its field; () where it is only noted.
    of, part    : names of the parts on that way, and the same in words.
    value       : what the site file says; "" where it says nothing.
    field       : of the site file; None where it is only noted. ask : True where it is unknown.
    """

    id: str
    stop: str
    question: str
    bring: str
    address: Address = ()
    of: str = ""
    part: str = ""
    value: str = ""
    field: Field | None = None
    ask: bool = True

    @property
    def is_level(self) -> bool:
        """True for one level above the datum, which the level book can fill."""
        return self.field is not None and self.field.quantity == "level"

    @property
    def label(self) -> str:
        """The item in a few words, with its part."""
        if self.field is None:
            return self.question
        way = str(self.address[-1])
        label = self.field.label if way == self.field.name else f"{self.field.label}, {way}"
        return f"{self.part}: {label}" if self.part else label

    @property
    def point(self) -> str:
        """What the level book calls it."""
        return self.label.lower()


@dataclass(frozen=True, slots=True)
class Stop:
    """One stop of the walk: its items."""

    title: str
    items: tuple[Item, ...]


def stops(raw: Mapping[str, Any], *, boxed: tuple[str, ...] = ()) -> tuple[Stop, ...]:
    """Every stop of a visit to the site that a file describes.

    boxed : what the sheets mark to be verified, as "thing: what".
    """
    grouped = groupby(rows("field_sheet"), key=lambda row: row["stop"])
    found = [Stop(title, tuple(_at_stop(tuple(told), raw, boxed=boxed))) for title, told in grouped]
    return tuple(one for one in found if one.items)


def _at_stop(
    told: tuple[Mapping[str, str], ...], raw: Mapping[str, Any], *, boxed: tuple[str, ...]
) -> Iterator[Item]:
    """Part by part: a roof with its gutters before the next roof, one gutter before the next."""
    found = [item for row in told for item in _items(row, raw, boxed=boxed)]
    parts = list(dict.fromkeys(one.address[:2] for one in found))
    inner = list(dict.fromkeys(_kept_together(one) for one in found))
    yield from sorted(
        found, key=lambda one: (parts.index(one.address[:2]), inner.index(_kept_together(one)))
    )


def _kept_together(one: Item) -> Address:
    """The way down to the innermost part of a list in which the item stands."""
    rows_on_it = [at for at, step in enumerate(one.address, 1) if isinstance(step, int)]
    return one.address[: max(rows_on_it, default=0)]


def _items(
    row: Mapping[str, str], raw: Mapping[str, Any], *, boxed: tuple[str, ...]
) -> Iterator[Item]:
    if not row["field"]:
        yield Item(row["item"].replace(" ", "-"), row["stop"], row["question"], row["bring"])
        return
    field = _field(row["section"], row["field"])
    for place in _places(raw, row["section"]):
        if _is_idle(row, raw, place=place):
            continue
        way = (*place, row["field"], *((row["key"],) if row["key"] else ()))
        value = _said(standing_at(raw, way))
        known = bool(value or (field.otherwise and not row["verify"]))
        yield Item(
            id_of(way),
            row["stop"],
            row["question"],
            row["bring"],
            address=way,
            of="/".join(_names(raw, place)),
            part=part_in_words(raw, place),
            value=value,
            field=field,
            ask=not known or _is_boxed(row["verify"], raw, place=place, boxed=boxed),
        )


def _is_idle(row: Mapping[str, str], raw: Mapping[str, Any], *, place: Address) -> bool:
    """True where the part does not need the item, or says something else instead."""
    part = place if place and isinstance(place[-1], int) else place[:-1]
    told = standing_at(raw, part)
    said = set(told) if isinstance(told, dict) else set()
    needs, instead = (set(row[key].split("|")) - {""} for key in ("needs", "instead"))
    return bool((needs and not needs & said) or instead & said)


def _field(section: str, name: str) -> Field:
    steps = [] if section == "site" else section.split(".")
    inner = "site"
    for step in steps:
        inner = fields()[inner][step].inner
    return fields()[inner][name]


def _places(raw: Mapping[str, Any], section: str) -> Iterator[Address]:
    """The address of every part of that kind; a table may still have to be made."""
    found: list[Address] = [()]
    inner = "site"
    for step in [] if section == "site" else section.split("."):
        field = fields()[inner][step]
        inner = field.inner
        found = [(*way, step) for way in found]
        if field.quantity.startswith("list "):
            found = [(*way, row) for way in found for row in range(_count(raw, way))]
    yield from found


def _count(raw: Mapping[str, Any], way: Address) -> int:
    there = standing_at(raw, way)
    return len(there) if isinstance(there, list) else 0


def _said(there: object) -> str:
    if isinstance(there, bool):
        return "yes" if there else "no"
    if isinstance(there, list):
        plain = not any(isinstance(one, (list, dict)) for one in there)
        return BETWEEN.join(str(one) for one in there) if plain else ""
    return "" if there is None or isinstance(there, dict) else str(there)


def _is_boxed(
    words: str, raw: Mapping[str, Any], *, place: Address, boxed: tuple[str, ...]
) -> bool:
    """True where a line of the sheets names this part and ends with these words."""
    name = next(reversed(_names(raw, place)), "")
    lines = (line.partition(": ") for line in boxed)
    return bool(words) and any(f"'{name}'" in thing and what == words for thing, _, what in lines)


def _names(raw: Mapping[str, Any], place: Address) -> list[str]:
    within = (standing_at(raw, place[:length]) for length in range(1, len(place) + 1))
    return [str(one["name"]) for one in within if isinstance(one, dict) and one.get("name")]


def part_in_words(raw: Mapping[str, Any], place: Address) -> str:
    """The part as one says it, such as "roof house, gutter north eave"."""
    told, kind = [], ""
    for length, step in enumerate(place, 1):
        if isinstance(step, str):
            kind = step.replace("_", " ").rstrip("s") if step != "stands_on" else ""
            continue
        there = standing_at(raw, place[:length])
        name = str(there.get("name", step + 1)) if isinstance(there, dict) else str(step + 1)
        told.append(name if name.startswith(f"{kind} ") else f"{kind} {name}")
    return ", ".join(told)


def id_of(way: Address) -> str:
    """A name made of letters, digits and hyphens alone."""
    words = "-".join(str(step) for step in way)
    return "".join(one if one.isascii() and one.isalnum() else "-" for one in words)
