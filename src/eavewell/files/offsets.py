"""Points as a surveyor books them: along a base line, and so far to its left or right."""

import re

from eavewell.faults import BadQuantity
from eavewell.site.outline import Corner
from eavewell.units import read

FARTHEST_M = 20_000.0
_SIDE = re.compile(r"^(.*?)\s*(left|right|l|r)\.?$", re.IGNORECASE)
_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)")


def read_offset(along: str, offset: str, *, unit: str) -> Corner:
    """One point in m, its offset positive to the left.

    unit : "ft" or "m", of a number that has none. Raises BadQuantity with one sentence.
    """
    found = _SIDE.match(offset.strip())
    far_m = _read_m(found[1] if found else offset, unit)
    right = bool(found and found[2][0] in "rR")
    return _read_m(along, unit), -far_m if right else far_m


def _read_m(text: str, unit: str) -> float:
    """A length that may lie below nothing."""
    clean = text.strip()
    if len(clean) > 60:
        raise BadQuantity("A point is two lengths such as '62 ft 6 in' and '18 ft left'.")
    if _NUMBER.fullmatch(clean):
        clean = f"{clean} {unit}"
    back = clean.startswith("-")
    value_m = read(clean.lstrip("+-").strip(), "length")
    if value_m > FARTHEST_M:
        raise BadQuantity(f"'{text.strip()}' is farther than one sheet reaches.")
    return -value_m if back else value_m
