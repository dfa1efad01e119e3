"""The fault finder as plain data, from a design's answer and its log."""

from collections.abc import Iterable, Mapping
from datetime import date
from importlib.metadata import version
from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.logbook.faults.fault_signs import signs_in, signs_of
from eavewell.logbook.faults.faults_found import (
    Answer,
    Narrowed,
    Sign,
    Weighed,
    narrowed,
    symptom_named,
)
from eavewell.logbook.upkeep.service import due_of
from eavewell.logbook.upkeep.serviced import Serviced
from eavewell.papers.fault_causes import Cause, causes
from eavewell.papers.wall_things import wall_things
from eavewell.site.finding import Finding

Plain = dict[str, Any]


def causes_of(answer: Plain) -> dict[str, tuple[Cause, ...]]:
    """Every symptom with the causes that a designed site can have; answer : as plain data."""
    sizes = Sizes(answer["place"]["show"])
    return causes(wall_things(answer, sizes), sizes=sizes)


def log_signs(
    answer: Plain, read: Serviced, *, findings: Iterable[Finding] = ()
) -> tuple[Sign, ...]:
    """What the log of a site shows that bears on any fault.

    findings : of its leak tests, where they were made.
    """
    planned = {one["name"]: one["mean_l_per_day"] for one in answer["demand"]}
    return (*signs_of(read, due_of(read), planned_l_day=planned), *signs_in(findings))


def fault_answer(
    answer: Plain,
    symptom: str = "",
    *,
    answers: Mapping[int, Answer] | None = None,
    signs: tuple[Sign, ...] = (),
    day: date,
) -> Plain:
    """A symptom narrowed by answers and by what the log shows; without a symptom, all of them.

    answer  : a design as plain data. symptom : by its words or some of them, or its number.
    answers : number of a cause -> whether its check showed what is to be expected.
    """
    known = causes_of(answer)
    found = None
    if symptom:
        meant = symptom_named(symptom, known)
        found = narrowed(known[meant], answers=answers, signs=signs)
    return {
        "schema": "eavewell-faults/1",
        "site": answer["site"],
        "eavewell": version("eavewell"),
        "show": answer["place"]["show"],
        "day": day.isoformat(),
        "symptoms": list(known),
        "symptom": found.symptom if found else None,
        "next": found.next.cause.number if found and found.next else None,
        "causes": _causes(found) if found else [],
        "signs": [{"kind": one.kind, "says": one.says} for one in signs],
    }


def _causes(found: Narrowed) -> list[Plain]:
    return [_cause(one) for one in found.causes]


def _cause(one: Weighed) -> Plain:
    return {
        "number": one.cause.number,
        "cause": one.cause.says,
        "things": list(one.cause.things),
        "check": one.cause.check,
        "expect": list(one.cause.expect),
        "state": one.state,
        "share": one.share,
        "signs": list(one.signs),
    }
