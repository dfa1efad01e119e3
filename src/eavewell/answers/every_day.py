"""The whole record day by day: rain, water in all stores, and the spells that went short."""

from typing import Any

from eavewell.design import Design
from eavewell.storage.reliability import Shortfall, shortfalls
from eavewell.storage.series import uses_in_order

MOST_SPELLS = 12


def every_day_answer(design: Design) -> dict[str, Any]:
    """Rain in mm and level in L of each day, and the worst spells of each use by what was missing.

    spells : the worst first, at most MOST_SPELLS.
    """
    days, every = design.weather.days, design.drawn.every_day
    return {
        "from": str(days.dates[0]),
        "to": str(days.dates[-1]),
        "record": design.rain.record.name,
        "invented": design.rain.record.invented,
        "rain_mm": [round(float(one), 1) for one in days.rain_mm],
        "level_l": [round(float(one)) for one in every.level_l.sum(axis=1)],
        "usable_l": sum(tank.usable_l for tank in design.moved.site.tanks),
        "spells": _worst_spells(design),
    }


def _worst_spells(design: Design) -> list[dict[str, Any]]:
    """The spells with the most missing water, the worst first."""
    every, wanted, dates = design.drawn.every_day, design.moved.water.demand_l, design.weather.days
    found = [
        (use.name, spell)
        for u, use in enumerate(uses_in_order(design.moved.site))
        for spell in shortfalls(
            wanted[:, u], every.planned_l[:, u] - every.supplied_l[:, u], dates=dates.dates
        )
    ]
    found.sort(key=lambda one: -one[1].missing_l)
    return [_told(name, spell) for name, spell in found[:MOST_SPELLS]]


def _told(name: str, spell: Shortfall) -> dict[str, Any]:
    return {
        "use": name,
        "from": spell.first.isoformat(),
        "to": spell.last.isoformat(),
        "short_days": spell.short_days,
        "missing_l": spell.missing_l,
    }
