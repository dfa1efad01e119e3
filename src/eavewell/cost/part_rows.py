"""Rows of the parts list, with what tables/parts.csv says of each part."""

import math
from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from typing import Any, cast

from eavewell.cost.stock import stock_of
from eavewell.faults import OutOfRange
from eavewell.hydraulics.standard_sizes import called
from eavewell.site.money import Unit
from eavewell.site.part import Part
from eavewell.tables import rows


@cache
def part_rows() -> Mapping[str, Mapping[str, str]]:
    """Every part by its name."""
    return {row["part"]: row for row in rows("parts")}


def row(part: str, count: float, *, where: str, **more: Any) -> Part:
    """So many of one part, with its unit, stand, joints and spares by the table.

    more : fields of Part that the table does not tell, or that differ here. A size in mm is called
    by its sold name. Raises OutOfRange for a part that the table does not know.
    """
    known = part_rows().get(part)
    if known is None:
        raise OutOfRange(f"There is no part called {part!r}.")
    size = more.get("size")
    if size is not None and known["measure"] == "mm":
        more.setdefault("called", sold_as(size))
    stand, joins = more.pop("stand", known["stand"]), more.pop("joins", known["joins"])
    unit = cast(Unit, known["unit"])
    spare = _spares(known, count, whole=unit == "each")
    return Part(part, count, unit, where, stand, joins=joins, spares=spare, **more)


def stock_m_of(part: str) -> float:
    """Length in which a pipe, tube or gutter is sold."""
    return stock_of(part_rows()[part]["stock"])


def sold_as(bore_mm: float) -> str:
    """What a bore is called: a whole eighth of an inch by that name, else the pipe that has it."""
    eighths = bore_mm / 25.4 * 8.0
    if abs(eighths - round(eighths)) > 1e-6:
        return called(bore_mm)
    whole, part = divmod(Fraction(round(eighths), 8), 1)
    return "-".join(str(one) for one in (whole, part) if one) + " in"


def _spares(known: Mapping[str, str], count: float, *, whole: bool) -> float:
    if count <= 0.0:
        return 0.0
    spare = max(float(known["spare_share"]) * count, float(known["spare_least"]))
    return float(math.ceil(spare - 1e-9)) if whole else spare
