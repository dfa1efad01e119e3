"""Sizes that are sold: the next larger pipe, and what a bore is called."""

import math
from functools import cache

from eavewell.faults import OutOfRange
from eavewell.tables import rows

FAMILIES = {"us": "pipe", "metric": "metric pipe"}
TUBE = "poly line"
# A bore within this share of a sold one goes by its name.
_SAME_BORE = 0.04


@cache
def standard_bores(family: str = "pipe") -> tuple[tuple[str, float], ...]:
    """What each size of a family is called, with its bore in mm, rising.

    family : "pipe" (inches), "metric pipe" or "poly line". Raises OutOfRange for another.
    """
    found = [row for row in rows("standard_bores") if row["family"] == family]
    if not found:
        raise OutOfRange(f"No sizes are known of {family!r}.")
    return tuple((row["called"], float(row["bore_mm"])) for row in found)


def next_bore_mm(least_mm: float, family: str = "pipe") -> float | None:
    """The smallest bore sold that is not below `least_mm`; None where none is sold so large."""
    return next((bore for _, bore in standard_bores(family) if bore >= least_mm - 1e-9), None)


def next_pipe(least_mm: float, family: str = "pipe") -> str:
    """The smallest pipe sold that is not below `least_mm`, by its name.

    Where none is sold so large: "more than the largest, <name>".
    """
    sold = standard_bores(family)
    name = next((called for called, bore in sold if bore >= least_mm - 1e-9), None)
    return name or f"more than the largest, {sold[-1][0]}"


def called(bore_mm: float) -> str:
    """What a bore is called: the pipe, else the tube within 4 %, else the bore itself in mm."""
    pipes = [size for family in FAMILIES.values() for size in standard_bores(family)]
    for sizes in (pipes, standard_bores(TUBE)):
        name, bore = min(sizes, key=lambda size: abs(size[1] - bore_mm))
        if abs(bore - bore_mm) <= _SAME_BORE * bore:
            return name
    return f"{bore_mm:g} mm"


def is_tube(bore_mm: float) -> bool:
    """Whether only a tube is sold with such a bore, and no pipe."""
    return called(bore_mm) in {name for name, _ in standard_bores(TUBE)}


def next_tank_l(least_l: float, system: str) -> str:
    """The smallest tank sold that is not below `least_l`, by its name.

    system : "us" or "metric". Above the largest the volume itself, in its unit.
    """
    sold = [row for row in rows("standard_tanks") if row["system"] == system]
    name = next((one["called"] for one in sold if float(one["volume_l"]) >= least_l), None)
    return name or no_tank_sold(least_l, system)


def no_tank_sold(least_l: float, system: str) -> str:
    """A volume above every tank sold, as several tanks of the largest."""
    largest = [row for row in rows("standard_tanks") if row["system"] == system][-1]
    count = math.ceil(least_l / float(largest["volume_l"]))
    return f"{count} x {largest['called']}"
