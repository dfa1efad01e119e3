"""Whether each lane of a run reaches the goals of its uses."""

import numpy as np
from numpy.typing import NDArray

from eavewell.site.goal import Goal
from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.storage.balance import Balance
from eavewell.storage.series import uses_in_order

# A share reached but for rounding is reached.
HAIR = 1e-9


def measured(goal: Goal, site: Site, *, balance: Balance) -> FloatArray:
    """The goal's measure in every lane, shape (lane,)."""
    uses = uses_in_order(site)
    u = [use.name for use in uses].index(goal.use)
    drawn = uses[u].draws_from
    own = [
        t for t, truck in enumerate(site.hauling) if not site.fed_from(truck.to).isdisjoint(drawn)
    ]
    value: FloatArray = {
        "dry_days_in_worst_spell": balance.sums.longest_short_days[u],
        "days_met": balance.use_met_share[u],
        "supplied_share": balance.use_supplied_share[u],
        "loads_in_worst_year": balance.sums.worst_year_loads[own].sum(axis=0),
    }[goal.measure]
    return value


def reached(goal: Goal, value: FloatArray) -> NDArray[np.bool_]:
    """True where the measure reaches its target: shares from below, days and loads from above."""
    if goal.measure in ("days_met", "supplied_share"):
        return np.asarray(value >= goal.target - HAIR)
    return np.asarray(value <= goal.target + HAIR)


def all_reached(site: Site, balance: Balance) -> NDArray[np.bool_]:
    """True in each lane that reaches every goal of the site, shape (lane,)."""
    met = np.ones(balance.error_l.size, dtype=bool)
    for goal in site.goals:
        met &= reached(goal, measured(goal, site, balance=balance))
    return met


def in_words(goal: Goal) -> str:
    """The goal as a sentence part."""
    if goal.measure == "dry_days_in_worst_spell":
        longest = (
            "no dry day" if goal.target == 0 else f"at most {goal.target:.0f} dry days running"
        )
        return f"{goal.use}: {longest}"
    if goal.measure == "loads_in_worst_year":
        return f"{goal.use}: at most {goal.target:.0f} loads in a year"
    share = f"{100.0 * goal.target:.3g} %"
    what = "of the days met in full" if goal.measure == "days_met" else "of the water supplied"
    return f"{goal.use}: {share} {what}"
