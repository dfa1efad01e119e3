"""Sizes as text that reads back as the very same size."""

import math

from eavewell.units import System, read, show

_UNITS = {
    "area": "m2",
    "bleed": "L/h",
    "daily": "L/day",
    "length": "m",
    "minutes": "min",
    "volume": "L",
    "weight": "kg",
}


def sized(value: float, quantity: str, *, system: str) -> str:
    """A size as text that reads back as itself, as short as that allows.

    quantity : one of the table above. system : "us" or "metric", where its own units will do.
    """
    show_in: System = "metric" if system == "metric" else "us"
    for figures in range(3, 7):
        text = show(value, quantity, system=show_in, figures=figures)
        if math.isclose(read(text, quantity), value, rel_tol=1e-13):
            return text
    return f"{plain(value)} {_UNITS[quantity]}"


def plain(value: float) -> str:
    """A number without an exponent, to twelve decimals."""
    return f"{value:.12f}".rstrip("0").rstrip(".")
