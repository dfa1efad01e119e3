"""What is known of the water itself, and its tests."""

from dataclasses import dataclass, field
from datetime import date


@dataclass(frozen=True, slots=True)
class WaterTest:
    """One result of one test.

    of    : a row name in tables/water_tests.csv, e.g. "E. coli".
    value : in the unit of that row; below : True where the laboratory says "less than value".
    tap   : where the sample was taken; laboratory : who tested it; "" unknown.
    """

    of: str
    value: float
    day: date
    below: bool = False
    tap: str = ""
    laboratory: str = ""


@dataclass(frozen=True, slots=True)
class Water:
    """Measured properties of the stored water; None where nobody measured.

    coldest_c, warmest_c : in the tank over the year.
    transmittance : share of light at 254 nm that passes 10 mm.
    tests : results, any order.
    """

    ph: float | None = None
    coldest_c: float | None = None
    warmest_c: float | None = None
    transmittance: float | None = None
    turbidity_ntu: float | None = None
    iron_mg_l: float | None = None
    hardness_mg_l: float | None = None
    tests: tuple[WaterTest, ...] = field(default_factory=tuple)
