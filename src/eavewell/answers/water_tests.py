"""The water test plan and what was found, as plain data."""

from typing import Any

from eavewell.tables import rows
from eavewell.treatment.water_tests import (
    PlannedTest,
    Result,
    Tested,
    action_of,
    known_tests,
    unit_of,
)

Plain = dict[str, Any]


def water_tests_answer(tested: Tested) -> list[Plain]:
    """One row a test and class: its limits, its latest result and when it is due."""
    return [_row(one) for one in tested.results]


def _row(one: Result) -> Plain:
    plan, latest = one.plan, one.latest
    return {
        "of": plan.of,
        "class": plan.end_use,
        "unit": unit_of(plan.of),
        "least": plan.least,
        "most": plan.most,
        "every_days": plan.every_days,
        "state": one.state,
        "found": latest.value if latest else None,
        "found_below": latest.below if latest else None,
        "found_on": latest.day.isoformat() if latest else None,
        "tap": latest.tap if latest else None,
        "due": one.due.isoformat() if one.due else None,
        "source": plan.source,
        **_drawn(plan),
    }


def _drawn(plan: PlannedTest) -> Plain:
    """How its sample is drawn, and what is done on the day that it fails."""
    row = known_tests()[plan.of]
    today, tell, mend = action_of(plan.kind, plan.end_use)
    return {
        "kind": plan.kind,
        "bottle": row["bottle"],
        "within_h": float(row["hours"]),
        "cold": row["cold"] == "yes",
        "today": today,
        "tell": tell,
        "mend": mend,
    }


def sampling_answer() -> list[str]:
    """How a sample is drawn, step by step."""
    return [row["says"] for row in rows("sampling")]
