"""Sizes as text that reads back as the very same size."""

import math
from collections.abc import Mapping

from eavewell.units import System, convert, read, show

_UNITS: Mapping[str, tuple[str, str]] = {
    "area": ("ft2", "m2"),
    "bleed": ("gal/h", "L/h"),
    "daily": ("gal/day", "L/day"),
    "length": ("ft", "m"),
    "minutes": ("min", "min"),
    "volume": ("gal", "L"),
    "weight": ("lb", "kg"),
}


def sized(value: float, quantity: str, *, system: str) -> str:
    """A size as text that reads back as itself, as short as that allows.

    quantity : one of the table above. system : "us" or "metric".
    """
    show_in: System = "metric" if system == "metric" else "us"
    for figures in range(3, 7):
        text = show(value, quantity, system=show_in, figures=figures)
        if math.isclose(read(text, quantity), value, rel_tol=1e-13):
            return text
    unit = _UNITS[quantity][show_in == "metric"]
    return f"{plain(convert(value, quantity, unit=unit))} {unit}"


def plain(value: float) -> str:
    """A number without an exponent, to twelve decimals."""
    return f"{value:.12f}".rstrip("0").rstrip(".")
