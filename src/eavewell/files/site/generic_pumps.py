"""Generic pumps by name, for a site whose pump is not bought yet."""

from collections.abc import Mapping
from typing import cast

from eavewell.site.pump import Pump, PumpKind
from eavewell.tables import rows
from eavewell.units import read


def generic_pumps() -> tuple[str, ...]:
    """Names of the generic pumps, each kind from the smallest motor to the largest."""
    return tuple(row["name"] for row in rows("pumps"))


def generic_pump(name: str) -> Pump:
    """A generic pump by its name; KeyError for one that is not known.

    Its curve is made up from common practice (tables/pumps.csv): the maker's curve replaces it.
    """
    row = {row["name"]: row for row in rows("pumps")}[name]
    return Pump(
        name=name,
        kind=cast(PumpKind, row["kind"]),
        curve=_curve(row["curve_gpm_ft"]),
        input_w=float(row["input_w"]),
        start_w=float(row["start_w"]),
        motor_w=read(row["motor"], "power"),
        npsh_m=_known(row, "npsh_ft", unit="ft", quantity="length"),
        solids_mm=_known(row, "solids_in", unit="in", quantity="bore"),
        least_l_s=read(f"{row['least_gpm']} gal/min", "flow"),
    )


def _curve(text: str) -> tuple[tuple[float, float], ...]:
    """Points such as 0:19 15:16.5, in US gallons a minute and feet, as L/s and m."""
    pairs = (point.split(":") for point in text.split())
    return tuple(
        (read(f"{flow} gal/min", "flow"), read(f"{head} ft", "length")) for flow, head in pairs
    )


def _known(row: Mapping[str, str], column: str, *, unit: str, quantity: str) -> float | None:
    return read(f"{row[column]} {unit}", quantity) if row[column] else None
