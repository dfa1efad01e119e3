"""The sizes and the doubts of a design as plain data."""

from typing import Any

import numpy as np

from eavewell.design import Design
from eavewell.site.goal import Goal
from eavewell.storage.doubts import Doubts
from eavewell.storage.first_fill import FirstFill
from eavewell.storage.goals import in_words, reached
from eavewell.storage.reliability import Reliability
from eavewell.storage.rules_of_thumb import named_rules
from eavewell.tables import sources, table

Plain = dict[str, Any]


def sizing(design: Design) -> Plain:
    """The goal, the curve, the smallest sizes and what limits."""
    size, doubt = design.sizing, design.doubts
    less = doubt.drier_rain if doubt else None
    return {
        "store": size.store,
        "goal": "; ".join(in_words(goal) for goal in design.site.goals),
        "goals": [
            _goal(goal, found)
            for goal, found in zip(design.site.goals, size.goals_measured, strict=True)
        ],
        "meets_goal": size.meets_goal,
        "smallest_l": size.smallest_l,
        "smallest_at_less_rain_l": less.smallest_l if less else None,
        "less_rain_factor": doubt.drier_factor if doubt and less else None,
        **_less_rain(design),
        "smallest_roof_m2": size.smallest_roof_m2,
        "most_use_l_per_day": size.most_use_l_day,
        "steady_l": size.steady_l,
        "no_fail_l": size.no_fail_l,
        "more_tank_l_per_year": size.more_tank_l_year,
        "more_roof_l_per_year": size.more_roof_l_year,
        "limiting": size.limiting,
        "curve": _curve(design),
        "rules_of_thumb": _rules(design.drawn.reliability),
    }


def _less_rain(design: Design) -> Plain:
    """The system as drawn with less rain: the curve holds the drawn size."""
    less = design.doubts.drier_rain if design.doubts else None
    if less is None:
        return dict.fromkeys(("less_rain_supplied_share", "less_rain_longest_short_days"))
    drawn_l = next(tank.usable_l for tank in design.site.tanks if tank.name == less.store)
    at = int(np.abs(less.curve.capacity_l - drawn_l).argmin())
    return {
        "less_rain_supplied_share": float(less.curve.supplied_share[at]),
        "less_rain_longest_short_days": int(less.curve.longest_short_days[at]),
    }


def _goal(goal: Goal, found: float) -> Plain:
    return {
        "use": goal.use,
        "measure": goal.measure,
        "target": goal.target,
        "measured": found,
        "reached": bool(reached(goal, np.array([found]))[0]),
        "stated": goal.stated,
        "says": in_words(goal),
    }


def _curve(design: Design) -> list[Plain]:
    curve = design.sizing.curve
    columns = zip(
        curve.capacity_l,
        curve.supplied_share,
        curve.days_met_share,
        curve.spilled_share,
        curve.longest_short_days,
        curve.reaches_goal,
        strict=True,
    )
    return [
        {
            "capacity_l": float(size),
            "supplied_share": float(supplied),
            "days_met_share": float(met),
            "spilled_share": float(spilled),
            "longest_short_days": int(longest),
            "reaches_goal": bool(reaches),
        }
        for size, supplied, met, spilled, longest, reaches in columns
    ]


def _rules(found: Reliability) -> list[Plain]:
    wanted = sum(use.wanted_l_year for use in found.uses)
    return [
        {"name": name, "tank_l": litres, "mark": _mark(name)}
        for name, litres in named_rules(found.inflow_l_year, wanted).items()
    ]


def _mark(rule: str) -> str:
    """Of the rule's source; memory where its number was recalled."""
    row = table("rules_of_thumb")[rule]
    return "memory" if "recalled" in row.place else sources()[row.source]["mark"]


def doubts(design: Design) -> Plain | None:
    """What the record alone cannot tell; None where that is put off."""
    return _doubts(design, design.doubts) if design.doubts else None


def _doubts(design: Design, doubt: Doubts) -> Plain:
    chosen = doubt.chosen
    least = doubt.smallest.supplied_share if doubt.smallest else None
    worse = doubt.stress.outcome
    return {
        "traces": chosen.traces if chosen else 0,
        "trace_years": chosen.years if chosen else 0,
        "block_years": chosen.block_years if chosen else 0,
        "first_month": chosen.first_month if chosen else 1,
        "smallest_supplied_share": [least.low, least.high] if least else [],
        "short_in_10_years": [
            {"name": name, "chance": chance}
            for name, chance in (chosen.short_in_10_years if chosen else {}).items()
        ],
        "finish_supplied_share": [doubt.finish_low, doubt.finish_high],
        "stress": {
            "rain_factor": doubt.stress.depth_factor,
            "wet_day_factor": doubt.stress.wet_day_factor,
            "use_factor": doubt.stress.use_factor,
            "supplied_share": worse.supplied_share,
            "longest_short_days": worse.longest.short_days if worse.longest else 0,
            "loads_in_worst_year": worse.worst_year_loads,
        },
        "drought": _drought(doubt, months=len(design.site.rain.drought)),
    }


def _drought(doubt: Doubts, *, months: int) -> Plain:
    found = doubt.drought
    if found is None:
        none = dict.fromkeys(("supplied_share", "longest_short_days", "missing_l"))
        return {"months": months, **none}
    return {
        "months": months,
        "supplied_share": found.supplied_share,
        "longest_short_days": found.longest.short_days if found.longest else 0,
        "missing_l": found.worst.missing_l if found.worst else 0.0,
    }


def first_year(fill: FirstFill | None) -> Plain:
    """The first year of a new system."""
    if fill is None:
        none = dict.fromkeys(("month", "day", "middle_days_to_full", "dry_tenth_days_to_full"))
        return {"starts": 0, **none, "short_days": []}
    return {
        "starts": fill.starts,
        "month": fill.month,
        "day": fill.day,
        "middle_days_to_full": fill.middle_days,
        "dry_tenth_days_to_full": fill.dry_tenth_days,
        "short_days": [
            {"name": name, "middle": middle, "worst_tenth": worst}
            for name, (middle, worst) in fill.short_days.items()
        ],
    }
