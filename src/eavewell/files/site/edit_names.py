"""A part of a site file given another name, which everything that names it follows."""

from collections.abc import Iterator, Mapping
from typing import Any

from eavewell.files.site.fields import Field, fields
from eavewell.files.site.toml_spans import Address
from eavewell.files.site.toml_splices import Sheet, standing_at, way_text
from eavewell.files.site.toml_values import key_text, value_text


def renamed(text: str, address: Address, *, name: str, file: str = "") -> str:
    """The text with a part called otherwise, here and wherever the file names it.

    address : of the part, such as ("tank", 0). Where another part of its kind has the same name,
    what names it is left alone: there is no telling which is meant.
    Raises BadSite where the part has no name that could be changed.
    """
    sheet = Sheet.of(text, file=file)
    way = sheet.rows(address)
    span, old = sheet.span((*way, "name")), sheet.at((*way, "name"))
    if span is None or not isinstance(old, str):
        raise sheet.refuse(f"{way_text(address)} has no name in the file.")
    changes = [(*span, value_text(name))]
    for field, at, said in _references(sheet.raw, "site", address=()):
        if _means(sheet, field, at=at, part=way, name=old):
            changes += _followed(sheet, field, at=at, said=said, names=(old, name))
    return sheet.spliced(*changes)


def names_meant(raw: Mapping[str, Any], field: Field, *, within: Address = ()) -> tuple[str, ...]:
    """The names that a field of a site file may say.

    within : address of the table that the field stands in.
    """
    found = (
        f"{kind} '{one['name']}'" if "'" in field.refers else one["name"]
        for kind in _kinds(field)
        for one in _likes(raw, kind, at=within)
        if isinstance(one, dict) and isinstance(one.get("name"), str)
    )
    return tuple(dict.fromkeys(found))


def _kinds(field: Field) -> list[str]:
    return field.refers.replace("'", "").split("|") if field.refers else []


def _references(
    raw: Mapping[str, Any], section: str, *, address: Address
) -> Iterator[tuple[Field, Address, object]]:
    """Every field that names parts: the field, where it stands, what it says."""
    for key, said in raw.items():
        field = fields().get(section, {}).get(key)
        if field is None:
            continue
        if field.refers:
            yield field, (*address, key), said
        elif isinstance(said, dict) and field.inner:
            yield from _references(said, field.inner, address=(*address, key))
        elif isinstance(said, list) and field.inner:
            for row, one in enumerate(said):
                if isinstance(one, dict):
                    yield from _references(one, field.inner, address=(*address, key, row))


def _means(sheet: Sheet, field: Field, *, at: Address, part: Address, name: str) -> bool:
    """True where the field names parts of this kind, and no other of them has the name."""
    likes = [one for kind in _kinds(field) for one in _likes(sheet.raw, kind, at=at)]
    if not any(one is sheet.at(part) for one in likes):
        return False
    return [isinstance(one, dict) and one.get("name") == name for one in likes].count(True) == 1


def _likes(raw: object, kind: str, *, at: Address) -> list[Any]:
    """The parts of one kind that a field may name: from within a line only those of that line."""
    steps = kind.split(".")
    if len(steps) > 1 and at[:1] != (steps[0],):
        return [one for row in _rows(raw, steps[0]) for one in _rows(row, steps[1])]
    return _rows(standing_at(raw, at[: 2 * (len(steps) - 1)]), steps[-1])


def _rows(raw: object, name: str) -> list[Any]:
    found = standing_at(raw, (name,))
    return found if isinstance(found, list) else []


def _followed(
    sheet: Sheet, field: Field, *, at: Address, said: object, names: tuple[str, str]
) -> Iterator[tuple[int, int, str]]:
    old, new = names
    if isinstance(said, dict):
        for way, start, end in sheet.spans.keys:
            if way == (*at, old):
                yield start, end, key_text(new)
        return
    ways = [(*at, row) for row in range(len(said))] if isinstance(said, list) else [at]
    for way in ways:
        told, span = sheet.at(way), sheet.span(way)
        if span and isinstance(told, str) and (now := _told(told, field, old=old, new=new)):
            yield (*span, value_text(now))


def _told(told: str, field: Field, *, old: str, new: str) -> str:
    if "'" in field.refers:
        return told.replace(f"'{old}'", f"'{new}'") if told.endswith(f" '{old}'") else ""
    return new if told.strip() == old else ""
