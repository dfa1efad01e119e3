"""The part of the report on what the water of each roof may be used for."""

from typing import Any

from eavewell.answers.shown import Sizes, listed
from eavewell.report.blocks import GAP, Block, heading, paragraph, ruled
from eavewell.report.cautions import cautioned

Plain = dict[str, Any]
_WORDS = {"yes": "not ruled out", "ask": "ask", "unknown": "unknown", "no": "no"}
_HEADS = {"edible": "raw food"}
_ALWAYS = ("drinking", "indoor", "animals", "outdoor")


def fitness_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """One line a roof: what it allows, by its materials."""
    fitness = answer["treatment"]
    if not fitness["roofs"]:
        return []
    marked = {case for use in fitness["uses"] for case in use["cases"]}
    cases = [
        one["case"]
        for one in fitness["roofs"][0]["allows"]
        if one["case"] in _ALWAYS or one["case"] in marked
    ]
    rows = [(roof["name"], *(_allowed(roof, case) for case in cases)) for roof in fitness["roofs"]]
    names = range(len(cases) + 1)
    return [
        heading("What the roofs allow"),
        ruled(("roof", *(_HEADS.get(case, case) for case in cases)), rows, names=tuple(names)),
        GAP,
        paragraph(*_tests(fitness)),
        cautioned(answer, "fitness"),
    ]


def _allowed(roof: Plain, case: str) -> str:
    return next(_WORDS[one["allowed"]] for one in roof["allows"] if one["case"] == case)


def _tests(fitness: Plain) -> list[str]:
    tests = fitness["tests_by_roof"]
    return [f"These roofs ask for tests of {listed(tests)}."] if tests else []
