"""The water test plan and what was found, as plain data."""

from typing import Any

from eavewell.treatment.water_tests import Result, Tested, unit_of

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
    }
