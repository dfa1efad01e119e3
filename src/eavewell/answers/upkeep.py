"""Chlorine after work, flushing after rest, closing and opening, as plain data."""

from typing import Any

from eavewell.rules.upkeep_tasks import Task
from eavewell.treatment.season import SeasonStep
from eavewell.treatment.shock import Measure, Shock

Plain = dict[str, Any]


def upkeep_answer(shock: Shock, season: tuple[SeasonStep, ...]) -> Plain:
    """Every tank, every line, every step of the season."""
    return {
        "shock": [
            {
                "tank": one.tank,
                "full_l": one.full_l,
                "mg_l": one.mg_l,
                "wait_h": one.wait_h,
                "products": [_product(measure) for measure in one.measures],
            }
            for one in shock.tanks
        ],
        "flush": [
            {
                "line": one.line,
                "holds_l": one.holds_l,
                "flush_l": one.flush_l,
                "mg_l": one.mg_l,
                "wait_h": one.wait_h,
            }
            for one in shock.lines
        ],
        "season": [
            {"when": one.when, "thing": one.thing, "says": one.says, "volume_l": one.volume_l}
            for one in season
        ],
    }


def tasks_answer(tasks: tuple[Task, ...]) -> list[Plain]:
    """Every task with the day it is next due."""
    return [
        {
            "kind": one.kind,
            "task": one.task,
            "things": list(one.things),
            "says": one.says,
            "every_days": one.every_days,
            "yearly": one.yearly,
            "due": one.due.isoformat(),
            "source": one.source,
        }
        for one in tasks
    ]


def _product(one: Measure) -> Plain:
    return {
        "product": one.product,
        "strength": one.strength,
        "full_ml": one.full if one.unit == "mL" else None,
        "half_ml": one.half if one.unit == "mL" else None,
        "full_g": one.full if one.unit == "g" else None,
        "half_g": one.half if one.unit == "g" else None,
    }
