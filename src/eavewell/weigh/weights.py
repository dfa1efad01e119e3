"""What is known of one choice once it is weighed."""

from dataclasses import dataclass

from eavewell.cost.band import Band
from eavewell.site.weighing import Choice


@dataclass(frozen=True, slots=True)
class Weight:
    """One choice with what it gives and what it costs.

    cut_days_year : days of a mean year on which any use got less than it wanted.
    longest_short_days : of any one use. holds_out : it meets every goal but those on loads.
    first, life : money to have it, and of its whole life.
    full : True where every part was taken off and priced; else the price is the sum of changes.
    """

    choice: Choice
    supplied_share: float
    days_met_share: float
    cut_days_year: float
    longest_short_days: int
    loads_year: float
    worst_year_loads: int
    meets_goals: bool
    holds_out: bool
    first: Band
    life: Band
    full: bool = False
