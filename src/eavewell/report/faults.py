"""The fault finder: what is looked at next, what to expect, and what is left."""

from collections.abc import Iterator
from typing import Any

from eavewell.answers.shown import listed
from eavewell.report.blocks import Block, Caution, heading, marked, paragraph, ruled

Plain = dict[str, Any]
DECIDES = (
    "Power, gas and hot water: a licensed electrician or plumber. While germs are suspected, the "
    "water is boiled or not drunk. Nobody climbs into a tank."
)
STATES = {"open": "", "cannot tell": "cannot tell", "ruled out": "ruled out", "found": "found"}


def faults_page(answer: Plain) -> list[Block]:
    """A symptom with its next check; without a symptom, the list of them."""
    if answer["symptom"] is None:
        return [*_symptoms(answer), Caution(DECIDES)]
    return [
        heading(f"{answer['site']}: {answer['symptom']}"),
        *_found(answer),
        *_next(answer),
        heading("Causes"),
        ruled(
            ("", "cause", "weight", "answer"),
            [_row(one) for one in answer["causes"]],
            names=(0, 1, 3),
            notes=[" ".join(one["signs"]) for one in answer["causes"]],
        ),
        Caution(DECIDES),
    ]


def _symptoms(answer: Plain) -> Iterator[Block]:
    yield heading(f"{answer['site']}: what is wrong?")
    for at, symptom in enumerate(answer["symptoms"], 1):
        yield marked(f"{at}.", symptom, margin=3)


def _found(answer: Plain) -> Iterator[Block]:
    found = [one for one in answer["causes"] if one["state"] == "found"]
    for one in found:
        yield paragraph(f"Found: {one['cause']}{_of(one)}.", style="bold")
        yield paragraph("Mend it; if the fault stays, go on.")
    if all(one["state"] == "ruled out" for one in answer["causes"]):
        yield paragraph("None of the usual causes is left: ask who built it, or a plumber.")


def _next(answer: Plain) -> Iterator[Block]:
    for one in answer["causes"]:
        if one["number"] == answer["next"]:
            again = " again, now that the rest is looked at" if one["state"] != "open" else ""
            yield heading(f"Look next{again}")
            yield paragraph(f"{one['check']}{_of(one)}.", style="bold")
            for expected in one["expect"]:
                yield marked("-", f"Expect: {expected}.")
            number, cause = one["number"], one["cause"]
            yield paragraph(
                f"Is all as expected? yes rules out cause {number}, no finds it: {cause}."
            )


def _of(one: Plain) -> str:
    return f" ({listed(one['things'])})" if one["things"] else ""


def _row(one: Plain) -> tuple[str, ...]:
    share = "-" if one["state"] == "ruled out" else f"{100.0 * one['share']:.0f} %"
    return str(one["number"]), one["cause"], share, STATES[one["state"]]
