"""The sampling card: which tap, which bottle, how soon, and what to do today if it fails."""

from collections.abc import Iterator
from datetime import date
from typing import Any

from eavewell.answers.shown import Sizes, listed
from eavewell.answers.shown import day as day_in_words
from eavewell.papers.paper import Form, Lead, Paper, PaperBlock
from eavewell.papers.tank_card import wall_paper
from eavewell.papers.wall_blocks import Large, Points, WallRows
from eavewell.report.blocks import Words
from eavewell.report.water_tests import every_in_words, limit_in_words
from eavewell.site.place import Show

Plain = dict[str, Any]
HEAD = ("looked for", "for", "limit", "every", "bottle", "to the laboratory", "next")
FAILS = {
    "germs": "Germs found",
    "metal": "A metal over its limit",
    "chemistry": "Nitrate or salts over their limit",
    "clearness": "Cloudy, or too little light comes through",
    "sourness": "Too sour or too alkaline",
}
FOR = {
    "drinking": "water that people drink",
    "indoor": "water indoors",
    "animals": "water for animals",
    "outdoor": "water outdoors",
    "spray": "water that is sprayed",
    "edible": "water on food plants",
    "dairy": "water for the dairy",
}


def sampling_card_paper(answer: Plain, *, day: date, system: Show) -> Paper:
    """What is asked of this site's water, how it is drawn, what a failure asks for."""
    sizes, treatment = Sizes(system), answer["treatment"]
    tests = treatment["tests"]
    blocks: list[PaperBlock] = [_taps(answer)]
    blocks.append(Points(tuple(treatment["sampling"]), numbered=True, size_pt=11.0))
    if tests:
        blocks.append(
            WallRows(
                HEAD,
                tuple(_row(one, sizes) for one in tests),
                tones=("",) * len(tests),
                names=tuple(range(len(HEAD))),
                widths=(1.1, 0.8, 0.9, 0.8, 2.3, 1.1, 1.0),
                size_pt=9.5,
            )
        )
        blocks += [
            Words(_passes(tests)),
            Large("If a test fails: today", "rust", size_pt=14.0),
            Points(tuple(_fails(tests)), size_pt=11.0),
        ]
    else:
        blocks.append(Lead("No use of this site asks for a test."))
    vet = ("Veterinarian",) if any(one["tell"] == "veterinarian" for one in tests) else ()
    called = ("Laboratory, telephone, days", "Health department", *vet, "Tap, if another")
    blocks.append(Form(called))
    named = ("sampling-card", "Sampling card")
    return wall_paper(answer, blocks, named=named, day=day, system=system)


def _taps(answer: Plain) -> PaperBlock:
    """The sinks of lines that people drink from, by name."""
    drinks = {line["name"] for line in answer["treatment"]["lines"] if line["drinks"]}
    sinks = [
        outlet["name"]
        for line in answer["things"]["lines"]
        if line["name"] in drinks
        for outlet in line["outlets"]
        if "sink" in outlet["fixture"]
    ]
    if not sinks:
        return Large("From: the tap that is used most, written in below", "blue", size_pt=14.0)
    return Large(f"From: {listed(sinks)}", "blue", size_pt=14.0)


def _row(one: Plain, sizes: Sizes) -> tuple[str, ...]:
    hours = _soon(one["within_h"])
    return (
        one["of"],
        one["class"],
        limit_in_words(one, sizes),
        every_in_words(one["every_days"]),
        one["bottle"],
        f"{hours}, on ice" if one["cold"] else hours,
        day_in_words(one["due"]) if one["state"] == "no failure found" else "now",
    )


def _soon(hours: float) -> str:
    """In hours, or in days where there are many."""
    if not hours:
        return "read at once"
    return f"within {hours:g} h" if hours < 72.0 else f"within {hours / 24.0:g} days"


def _passes(tests: list[Plain]) -> str:
    """What a pass is worth, and the latest ones."""
    passed = [
        f"{one['of']} on {day_in_words(one['found_on'])}"
        for one in tests
        if one["state"] == "no failure found" and one["found_on"]
    ]
    last = f" Last: {listed(passed)}." if passed else ""
    return f"A pass is 'no failure found' on its day, and expires.{last}"


def _fails(tests: list[Plain]) -> Iterator[str]:
    """What to do today, whom to tell, what mends it, by the kind of test and what it is for."""
    for kind, title in FAILS.items():
        done: dict[tuple[str, str, str], list[str]] = {}
        for one in tests:
            if one["kind"] == kind:
                classes = done.setdefault((one["today"], one["tell"], one["mend"]), [])
                classes += [] if one["class"] in classes else [one["class"]]
        for (today, tells, mends), classes in done.items():
            tell = f" Tell: {tells}." if tells else ""
            mend = f" Then {mends}." if mends else ""
            water = listed([FOR.get(one, one) for one in classes])
            yield f"{title}, {water}. {_sentence(today)}{tell}{mend}"


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."
