"""Generic pumps by name."""

from eavewell.site.pump import Pump


def generic_pumps() -> tuple[str, ...]:
    """Names of the generic pumps."""
    return ()


def generic_pump(name: str) -> Pump:
    """A generic pump by its name; KeyError for one that is not known."""
    raise KeyError(name)
