"""Fitness for use as plain data: what stands between roof and mouth; never an approval."""

from typing import Any

from eavewell.answers.barriers import barriers_answer
from eavewell.answers.fitness import fitness_answer
from eavewell.answers.upkeep import tasks_answer, upkeep_answer
from eavewell.answers.water_tests import sampling_answer, water_tests_answer
from eavewell.design import Design
from eavewell.rules.upkeep_tasks import upkeep_tasks

Plain = dict[str, Any]


def treatment(design: Design) -> Plain:
    """Every part of it."""
    tasks = upkeep_tasks(
        design.site,
        judged=design.judged,
        tested=design.tested,
        treated=design.treated,
        season=design.season,
    )
    return {
        "checked": True,
        **fitness_answer(design.fitness),
        "lines": barriers_answer(design.treated),
        "tests": water_tests_answer(design.tested),
        "sampling": sampling_answer(),
        "upkeep": upkeep_answer(design.shock, design.season) | {"tasks": tasks_answer(tasks)},
    }
