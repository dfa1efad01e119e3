"""The way down to a field of a site file: as text in a page, and what it leads to."""

from collections.abc import Mapping
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
    return "/".join(quote(str(step), safe="") for step in way)


def part_named(raw: Mapping[str, Any], way: Address) -> str:
    """The names of the parts on the way to a field, to tell that it is still the same part."""
    within = (standing_at(raw, way[:length]) for length in range(1, len(way)))
    names = [one.get("name", "") for one in within if isinstance(one, dict)]
    return "/".join(str(one) for one in names if one)


def _is_row(word: str) -> bool:
    """True for the number of an entry; longer ones would not be numbers to Python either."""
    return word.isascii() and word.isdecimal() and len(word) <= 6
