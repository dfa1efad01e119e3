"""Sizes as a person writes them, rounded to the side on which they still hold."""

from eavewell.site.place import Show
from eavewell.units import read, show

ROUNDING_STEP = 0.001
# What arithmetic leaves in the last digits is no lack.
CLOSE = 1e-9


def no_less(value: float, quantity: str, *, system: Show) -> str:
    """The value as a person writes it, never rounded below itself."""
    shown = value
    while read(text := show(shown, quantity, system=system), quantity) < value - CLOSE * abs(value):
        shown += ROUNDING_STEP * abs(shown)
    return text


def no_more(value: float, quantity: str, *, system: Show) -> str:
    """The value as a person writes it, never rounded above itself."""
    shown = value
    while read(text := show(shown, quantity, system=system), quantity) > value + CLOSE * abs(value):
        shown -= ROUNDING_STEP * abs(shown)
    return text
