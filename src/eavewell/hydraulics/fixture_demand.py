"""Peak flow from fixture units, by the tables of two families of plumbing codes.

They differ below 60 units: no flow is told without the family and edition of its table.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np

from eavewell.faults import OutOfRange
from eavewell.site.outlet import Outlet
from eavewell.tables import rows, sources
from eavewell.units import read

Family = Literal["NSPC", "IPC"]
Flush = Literal["tank", "valve"]
FAMILIES: tuple[Family, ...] = ("NSPC", "IPC")


@dataclass(frozen=True, slots=True)
class FixtureDemand:
    """Peak flow by one table; None where its rows do not reach. edition : family, year, table."""

    family: Family
    edition: str
    fixture_units: float
    flow_l_s: float | None


def fixture_units(outlets: Iterable[Outlet]) -> float:
    """Sum of the water supply fixture units of outlets; one that the table does not rate counts 0.

    Total (hot and cold) of private use, tables/outlets.csv.
    """
    rated = {row["fixture"]: float(row["fixture_units"] or 0.0) for row in rows("outlets")}
    return sum(one.count * rated.get(one.fixture, 0.0) for one in outlets)


def demand_l_s(units: float, family: Family, *, flush: Flush = "tank") -> float:
    """Peak flow for fixture units, straight between the rows of a family's table.

    flush : "tank" for a load of flush tanks, "valve" where flushometer valves rule.
    Raises OutOfRange outside the rows.
    """
    known, flows = _curve(family, flush)
    if not known[0] <= units <= known[-1]:
        raise OutOfRange(
            f"{edition(family)} runs from {known[0]:g} to {known[-1]:g} fixture units; it does "
            f"not tell the flow of {units:g}."
        )
    return float(np.interp(units, known, flows))


def demands(outlets: Iterable[Outlet]) -> tuple[FixtureDemand, ...]:
    """Peak flow of outlets with flush tanks by every family, each with its edition."""
    units = fixture_units(outlets)
    return tuple(
        FixtureDemand(family, edition(family), units, _told(units, family)) for family in FAMILIES
    )


def edition(family: Family) -> str:
    """Family, year and table, as printed beside every flow."""
    row = next(row for row in rows("fixture_demand") if row["family"] == family)
    return f"{family} {sources()[row['source']]['year']}, {row['place']}"


def _told(units: float, family: Family) -> float | None:
    known, _ = _curve(family, "tank")
    return demand_l_s(units, family) if known[0] <= units <= known[-1] else None


@cache
def _curve(family: Family, flush: Flush) -> tuple[tuple[float, ...], tuple[float, ...]]:
    found = [
        (float(row["fixture_units"]), read(f"{row['gpm']} gal/min", "flow"))
        for row in rows("fixture_demand")
        if (row["family"], row["flush"]) == (family, flush)
    ]
    units, flows = zip(*found, strict=True)
    return units, flows
