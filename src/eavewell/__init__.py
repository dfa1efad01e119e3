"""Eavewell: design and look after systems that live on rain."""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from eavewell.answers import answer
    from eavewell.answers.schema import schema
    from eavewell.files.rain.readers import read_rain
    from eavewell.files.record import beside_of, record_of
    from eavewell.files.site.edit import set_field
    from eavewell.files.site.new_site import new_site
    from eavewell.files.site.reader import read_site

__version__ = "0.1.0"

__all__ = [
    "__version__",
    "answer",
    "beside_of",
    "new_site",
    "read_rain",
    "read_site",
    "record_of",
    "schema",
    "set_field",
]

# Brought in when first asked for, so that the command line starts at once.
_WHERE = {
    "answer": "eavewell.answers",
    "beside_of": "eavewell.files.record",
    "new_site": "eavewell.files.site.new_site",
    "read_rain": "eavewell.files.rain.readers",
    "read_site": "eavewell.files.site.reader",
    "record_of": "eavewell.files.record",
    "schema": "eavewell.answers.schema",
    "set_field": "eavewell.files.site.edit",
}


def __getattr__(name: str) -> Any:
    if name not in _WHERE:
        raise AttributeError(f"module 'eavewell' has no attribute {name!r}")
    return getattr(import_module(_WHERE[name]), name)
