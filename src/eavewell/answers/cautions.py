"""The cautions, as plain data, each with the part of the answer it belongs to."""

from typing import Any

from eavewell.rules.cautions import cautions
from eavewell.site.site import Site

Plain = dict[str, Any]


def cautions_answer(site: Site) -> list[Plain]:
    """One row a caution."""
    return [
        {"of": one.of, "code": one.code, "says": one.says, "decides": list(one.decides)}
        for one in cautions(site)
    ]
