"""Points as a surveyor books them: along a base line, and so far to its left or right."""

import re
from math import atan2, degrees

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


def read_degrees(text: str) -> float | None:
    """Degrees clockwise from up to north, from 0 to 360; None where nothing is said."""
    clean = text.strip().removesuffix("deg").removesuffix("°").strip()
    if not clean:
        return None
    if not _NUMBER.fullmatch(clean) or abs(float(clean)) > 360.0:
        raise BadQuantity(f"'{clean[:40]}' is not degrees clockwise from up, such as 12 or -12.")
    return round(float(clean) % 360.0, 1)


def read_bearing(start: Corner, end: Corner) -> float:
    """Degrees clockwise from up of the way from one point to another."""
    if start == end:
        raise BadQuantity("The two points lie on one another: take them farther apart.")
    return round(degrees(atan2(end[0] - start[0], end[1] - start[1])) % 360.0, 1)
