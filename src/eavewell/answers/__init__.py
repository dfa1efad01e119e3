"""A Design as plain data: what the command line, a page, a paper and JSON all show.

Every key stands in tables/answers/design.csv with its unit and meaning; the JSON schema is made
from that table.
"""

from dataclasses import asdict
from importlib.metadata import version
from typing import Any
from urllib.parse import quote

from eavewell.answers.cards import cards_answer
from eavewell.answers.cautions import cautions_answer
from eavewell.answers.cost import cost_answer
from eavewell.answers.hydraulics import hydraulics
from eavewell.answers.lesson import lesson_answer
from eavewell.answers.rules import rules_answer
from eavewell.answers.schema import SCHEMA
from eavewell.answers.sizes import doubts, first_year, sizing
from eavewell.answers.stores import demand, storage, years
from eavewell.answers.stormwater import stormwater_answer
from eavewell.answers.structure import structure_answer
from eavewell.answers.things import things_answer
from eavewell.answers.treatment import treatment
from eavewell.answers.trial import trial_answer
from eavewell.answers.weather import rain, roofs
from eavewell.design import Design
from eavewell.findings import find
from eavewell.site.finding import Finding

NOT_CHECKED = ("whether an authority permits it",)


def answer(design: Design) -> dict[str, Any]:
    """Everything a design says, as dictionaries, lists, numbers and text in SI units."""
    return {
        "schema": SCHEMA,
        "site": design.site.name,
        "eavewell": version("eavewell"),
        "place": asdict(design.site.place),
        "rain": rain(design),
        "roofs": roofs(design),
        "demand": demand(design),
        "storage": storage(design),
        "years": years(design),
        "sizing": sizing(design),
        "doubts": doubts(design),
        "first_year": first_year(design.first_fill),
        "hydraulics": hydraulics(design),
        "structure": structure_answer(design.carried),
        "stormwater": stormwater_answer(design.stormwater),
        "treatment": treatment(design),
        "rules": rules_answer(design.judged),
        "cost": cost_answer(design.reckoned),
        "cautions": cautions_answer(design.site),
        "things": things_answer(design.site),
        "cards": cards_answer(design),
        "lesson": lesson_answer(),
        "trial": trial_answer(design.site, design.gravity, served=design.served),
        "assumed": list(design.assumed) + list(design.weather.says),
        "not_checked": list(NOT_CHECKED),
        "findings": [finding_answer(one) for one in find(design)],
    }


def finding_answer(one: Finding) -> dict[str, Any]:
    """A finding with its changes as addresses and values."""
    changes = [
        {
            "address": "/".join(quote(step, "") for step in way),
            "value": None if value is None else str(value),
        }
        for way, value in one.changes
    ]
    return asdict(one) | {"changes": changes}
