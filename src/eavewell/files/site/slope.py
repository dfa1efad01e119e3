"""The slope of a roof in a builder's words, as rise over run."""

import math
import re

from eavewell.faults import BadQuantity

STEEPEST_DEG = 85.0
_RISE_IN_RUN = re.compile(r"([0-9.]+) ?(?:in|:|/) ?([0-9.]+)(?: ?in)?")
_DEGREES = re.compile(r"([0-9.]+) ?(?:deg|degrees|\u00b0)")


def read_slope(text: str) -> float:
    """Rise over run of a slope such as "4 in 12", "1:3" or "18 deg".

    Raises BadQuantity where it is none, or steeper than a roof can be.
    """
    slope = _over(text.strip())
    if slope is None:
        raise BadQuantity(
            f"'{text[:60]}' is not a slope: write rise in run, such as '4 in 12' or '1:3', or "
            "degrees, such as '18 deg'."
        )
    if slope > math.tan(math.radians(STEEPEST_DEG)):
        raise BadQuantity(f"'{text[:60]}' is too steep: at most {STEEPEST_DEG:g} deg can be right.")
    return slope


def _over(text: str) -> float | None:
    """Rise over run; None where the words are of no slope."""
    try:
        if found := _RISE_IN_RUN.fullmatch(text):
            return float(found[1]) / float(found[2])
        if found := _DEGREES.fullmatch(text):
            degrees = float(found[1])
            return math.tan(math.radians(degrees)) if degrees < 90.0 else math.inf
    except (ValueError, ZeroDivisionError):
        pass
    return None
