"""The goal, per use, in the owner's words."""

from dataclasses import dataclass
from typing import Literal

Measure = Literal["dry_days_in_worst_spell", "loads_in_worst_year", "days_met", "supplied_share"]


@dataclass(frozen=True, slots=True)
class Goal:
    """One thing a use must reach.

    dry_days_in_worst_spell : most days in a row short of the planned ration.
    loads_in_worst_year     : most hauled loads in one year.
    days_met                : least share of days with the whole want.
    supplied_share          : least share of the wanted volume.
    stated : False where it is the starting value of common practice.
    """

    use: str
    measure: Measure
    target: float
    stated: bool = True
