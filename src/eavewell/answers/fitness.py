"""What the water may be used for, as plain data."""

from typing import Any

from eavewell.treatment.classes import Fitness, RoofFit, UseFit

Plain = dict[str, Any]


def fitness_answer(found: Fitness) -> Plain:
    """Every caught roof with what it allows, and every use with what stands against it."""
    return {
        "roofs": [_roof(fit) for fit in found.roofs],
        "uses": [_use(fit) for fit in found.uses],
        "tests_by_roof": list(found.tests),
    }


def _roof(fit: RoofFit) -> Plain:
    return {
        "name": fit.roof.name,
        "allows": [
            {
                "case": one.case,
                "allowed": one.allowed,
                "why": list(one.why),
                "find_out": list(one.find_out),
            }
            for one in fit.verdicts
        ],
        "tests": list(fit.tests),
    }


def _use(fit: UseFit) -> Plain:
    return {
        "name": fit.use.name,
        "cases": list(fit.cases),
        "roofs": [one.roof.name for one in fit.roofs],
        "ruled_out": bool(fit.against("no")),
        "unknown": bool(fit.against("unknown")),
        "to_be_asked": bool(fit.against("ask")),
    }
