"""The way down to a field of a site file: as text in a page, and what it leads to."""

from collections.abc import Mapping, Sequence
from typing import Any
from urllib.parse import quote, unquote

from eavewell.files.site.fields import Field, fields
from eavewell.files.site.toml_spans import Address
from eavewell.files.site.toml_splices import standing_at


def field_of(way: Address) -> Field:
    """The field or part that an address of a site file leads to; KeyError where there is none."""
    section, field = "site", None
    for step in way:
        if isinstance(step, int):
            if field is None or not field.quantity.startswith("list "):
                raise KeyError(step)
        elif field is not None and field.inner == "goals":
            field, section = _goal_of(field), "goal"
        else:
            field = fields()[section][step]
            section = field.inner
    if field is None:
        raise KeyError("")
    return field


def _goal_of(field: Field) -> Field:
    return Field("goal", "", "table goal", False, None, None, (), "", field.label, field.meaning)


def steps(address: str) -> Address:
    """The way down to a field out of its address as text, such as "tank/0/each"."""
    words = [unquote(step) for step in address.split("/") if step]
    return tuple(
        int(word) if _is_row(word) and words[row - 1 : row] != ["goal"] else word
        for row, word in enumerate(words)
    )


def address_text(way: Address) -> str:
    """An address as text."""
    return "/".join(quote(str(step), "") for step in way)


def part_named(raw: Mapping[str, Any], way: Address) -> str:
    """The names of the parts on the way to a field, to tell that it is still the same part."""
    within = (standing_at(raw, way[:length]) for length in range(1, len(way)))
    names = [one.get("name", "") for one in within if isinstance(one, dict)]
    return "/".join(str(one) for one in names if one)


def _is_row(word: str) -> bool:
    """True for the number of an entry; longer ones would not be numbers to Python either."""
    return word.isascii() and word.isdecimal() and len(word) <= 6


def rowed(raw: Mapping[str, Any], way: Address) -> Address:
    """An address whose parts go by row in place of name; KeyError where there is no such part."""
    found: Address = ()
    within: Any = raw
    for step in way:
        if isinstance(within, list):
            row = _row_of(within, step)
            found, within = (*found, row), within[row]
        else:
            found, within = (*found, step), within.get(step, {})
    return found


def _row_of(items: Sequence[Any], step: str | int) -> int:
    names = [one.get("name") if isinstance(one, Mapping) else None for one in items]
    if step not in names:
        raise KeyError(step)
    return names.index(step)


def changes_told(changes: Sequence[Mapping[str, str | None]]) -> str:
    """The fields that a finding would change and what they would say, such as "width 5 in"."""
    told = ((_label((one["address"] or "").split("/")), one["value"]) for one in changes)
    return ", ".join(f"{label[:1].lower()}{label[1:]} {value}" for label, value in told if value)


def _label(steps: Sequence[str]) -> str:
    """What the last field of an address is called, its parts going by name."""
    section, label = "site", ""
    for step in steps:
        field = fields()[section].get(step)
        if field is not None:
            section, label = field.inner or section, field.label
    return label
