"""The parts list as a page: by where one stands to fit it, then the order."""

from collections.abc import Iterator
from itertools import groupby
from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.report.blocks import GAP, Block, heading, one_line, paragraph, ruled
from eavewell.site.place import Show
from eavewell.tables import rows
from eavewell.units import show

Plain = dict[str, Any]
_QUANTITIES = {"m": "length", "m2": "area"}
_MEASURES = {"L": "volume", "W": "power"}


def parts_page(answer: Plain, *, system: Show) -> list[Block]:
    """Every part grouped by stand, then the same parts as one order with spares."""
    sizes = Sizes(system)
    return [
        one_line(f"{answer['site']}: parts", style="bold"),
        *_by_stand(answer, sizes),
        *_order(answer, sizes),
    ]


def parts_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """Two lines for the report: how many parts, and where the list is."""
    order, parts = answer["cost"]["order"], answer["cost"]["parts"]
    if not order:
        return []
    stands = len({part["stand"] for part in parts})
    says = (
        f"{len(order)} different parts at {stands} places to stand; the list with cut lengths, "
        "joining standards and spares is written by `eavewell papers`."
    )
    return [paragraph(says)]


def _by_stand(answer: Plain, sizes: Sizes) -> Iterator[Block]:
    for stand, group in groupby(answer["cost"]["parts"], key=lambda part: part["stand"]):
        parts = list(group)
        lines = [(part_named(part, sizes), part["where"], amount(part, sizes)) for part in parts]
        yield heading(stand[:1].upper() + stand[1:])
        notes = [part["says"] for part in parts]
        yield ruled(("part", "for", "count"), lines, names=(0, 1), notes=notes)


def _order(answer: Plain, sizes: Sizes) -> Iterator[Block]:
    order = answer["cost"]["order"]
    lines = [
        (part_named(part, sizes), amount(part, sizes), spares(part, sizes), _stock(part))
        for part in order
    ]
    yield heading("The order")
    notes = ["; ".join(filter(None, (part["says"], part["joins"]))) for part in order]
    yield ruled(("part", "count", "spares", "stock lengths"), lines, notes=notes)
    yield GAP
    yield paragraph(
        "Sizes and counts come from the site file; measure on site before you buy. Screening, not "
        "design approval: the maker's sheets and local codes decide.",
        style="italic",
    )


def part_named(part: Plain, sizes: Sizes) -> str:
    """A part with its size as it is sold."""
    size = part["called"] or _size(part, sizes)
    return f"{part['part']}, {size}" if size else part["part"]


def _size(part: Plain, sizes: Sizes) -> str:
    measure = _measures()[part["part"]]
    if part["size"] is None or measure not in _MEASURES:
        return ""
    return show(part["size"], _MEASURES[measure], system=sizes.system)


def _measures() -> dict[str, str]:
    return {row["part"]: row["measure"] for row in rows("parts")}


def amount(part: Plain, sizes: Sizes) -> str:
    """How many or how much of a part; a count of 0 is unknown."""
    return "unknown" if part["count"] == 0.0 else _in_unit(part["count"], part["unit"], sizes=sizes)


def spares(part: Plain, sizes: Sizes) -> str:
    """What is bought beside the count; empty for none."""
    return _in_unit(part["spares"], part["unit"], sizes=sizes) if part["spares"] else ""


def _stock(part: Plain) -> str:
    return str(part["stock_pieces"]) if part["stock_pieces"] else ""


def _in_unit(number: float, unit: str, *, sizes: Sizes) -> str:
    if unit in _QUANTITIES:
        return show(number, _QUANTITIES[unit], system=sizes.system)
    if unit == "m3":
        yards = sizes.system == "us"
        return f"{number / 0.764555:.2g} yd3" if yards else f"{number:.2g} m3"
    return f"{number:,.0f}" if number == int(number) else f"{number:.2g}"
