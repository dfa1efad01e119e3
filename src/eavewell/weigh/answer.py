"""Choices weighed, as plain data; every key stands in tables/answers/weighed.csv."""

from dataclasses import asdict
from importlib.metadata import version
from typing import Any

from eavewell.answers.cost import band_plain
from eavewell.design import Design
from eavewell.site.beside import Beside
from eavewell.site.weighing import Weighing
from eavewell.weigh import Weighed, weigh
from eavewell.weigh.step import Step
from eavewell.weigh.weights import Weight

Plain = dict[str, Any]
SCHEMA = "eavewell-weighed/1"


def weighed_answer(found: Weighed) -> Plain:
    """The present, the fronts and the marks of a site, in SI units and its currency."""
    site = found.design.site
    return {
        "schema": SCHEMA,
        "site": site.name,
        "eavewell": version("eavewell"),
        "show": site.place.show,
        "rain": found.design.rain.record.name,
        "invented": found.design.rain.record.invented,
        "currency": site.money.currency,
        "years": site.money.years,
        "tank": found.tank,
        "tried": found.tried,
        "present": _weight(found.present),
        "by_days": [_weight(one) for one in found.by_days],
        "by_loads": [_weight(one) for one in found.by_loads],
        "some_meets_goals": found.cheapest is not None,
        "cheapest": _weight(found.cheapest or found.nearest),
        "step": _step(found.step, found.present),
        "limits": list(found.limits),
    }


def weighed_of(made: Design, beside: Beside) -> Plain | None:
    """The choices of a designed site; None where its file asks for none to be weighed."""
    if made.site.weighing == Weighing():
        return None
    return weighed_answer(weigh(made.site, made.rain.record, beside=beside, drawn=made))


def _weight(one: Weight) -> Plain:
    return asdict(one.choice) | {
        "total_l": one.choice.count * one.choice.each_l,
        "supplied_share": one.supplied_share,
        "days_met_share": one.days_met_share,
        "cut_days_per_year": one.cut_days_year,
        "longest_short_days": one.longest_short_days,
        "loads_per_year": one.loads_year,
        "loads_in_worst_year": one.worst_year_loads,
        "meets_goals": one.meets_goals,
        "first": band_plain(one.first),
        "life": band_plain(one.life),
        "priced_in_full": one.full,
    }


def _step(step: Step | None, present: Weight) -> Plain:
    return {
        "what": step.what if step else "",
        "to": _weight(step.weight if step else present),
        "price": step.price if step else None,
        "days_per_year": step.days_year if step else 0.0,
        "loads_per_year": step.loads_year if step else 0.0,
    }
