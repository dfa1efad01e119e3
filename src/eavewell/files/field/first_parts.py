"""A first roof, tank and use of a site whose file has none: what a first visit asks."""

from collections.abc import Mapping
from typing import Any

from eavewell.files.site.edit_parts import with_part
from eavewell.files.site.toml_spans import Address
from eavewell.files.site.toml_splices import standing_at

# a use with an empty number of people is asked for it
FIRST: Mapping[str, Mapping[str, Any]] = {
    "roof": {"name": "roof 1", "gutter": [{"name": "gutter 1"}]},
    "tank": {"name": "tank 1"},
    "use": {"name": "use 1", "people": ""},
}


def with_first_parts(raw: Mapping[str, Any]) -> Mapping[str, Any]:
    """What stands in a site file, with a first part of each kind of which it has none."""
    return {**raw, **{kind: [part] for kind, part in FIRST.items() if not raw.get(kind)}}


def begun(text: str, raw: Mapping[str, Any], *, way: Address, file: str = "") -> str:
    """The text with the parts on the way to a field begun by name, where they are not there.

    raw : what stands in the text. Raises BadSite where no such part can stand there.
    """
    for length, step in enumerate(way, 1):
        if isinstance(step, int) and standing_at(raw, way[:length]) is None:
            name = str(standing_at(FIRST, _in_first(way[:length]))["name"])
            text, _ = with_part(text, way[: length - 1], fields={"name": name}, file=file)
    return text


def _in_first(way: Address) -> Address:
    return (way[0], *way[2:])
