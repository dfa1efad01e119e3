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
from eavewell.tables.texts import words

WORDS = words("sampling_card")
Plain = dict[str, Any]
HEAD = WORDS.several("head")
FAILS = {
    "germs": WORDS.say("fails.germs"),
    "metal": WORDS.say("fails.metal"),
    "chemistry": WORDS.say("fails.chemistry"),
    "clearness": WORDS.say("fails.clearness"),
    "sourness": WORDS.say("fails.sourness"),
}
FOR = {
    "drinking": WORDS.say("for.drinking"),
    "indoor": WORDS.say("for.indoor"),
    "animals": WORDS.say("for.animals"),
    "outdoor": WORDS.say("for.outdoor"),
    "spray": WORDS.say("for.spray"),
    "edible": WORDS.say("for.edible"),
    "dairy": WORDS.say("for.dairy"),
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
            Large(WORDS.say("page.if_test_fails_today"), "rust", size_pt=14.0),
            Points(tuple(_fails(tests)), size_pt=11.0),
        ]
    else:
        blocks.append(Lead(WORDS.say("page.no_use_this_site")))
    vet = (
        (WORDS.say("page.veterinarian"),)
        if any(one["tell"] == "veterinarian" for one in tests)
        else ()
    )
    called = (
        WORDS.say("page.laboratory_telephone_days"),
        WORDS.say("page.health_department"),
        *vet,
        WORDS.say("page.tap_if_another"),
    )
    blocks.append(Form(called))
    named = ("sampling-card", WORDS.say("page.sampling_card"))
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
        return Large(WORDS.say("taps.from_tap_that_used"), "blue", size_pt=14.0)
    return Large(WORDS.say("taps.from", sinks=listed(sinks)), "blue", size_pt=14.0)


def _row(one: Plain, sizes: Sizes) -> tuple[str, ...]:
    hours = _soon(one["within_h"])
    return (
        one["of"],
        one["class"],
        limit_in_words(one, sizes),
        every_in_words(one["every_days"]),
        one["bottle"],
        WORDS.say("row.on_ice", hours=hours) if one["cold"] else hours,
        day_in_words(one["due"]) if one["state"] == "no failure found" else WORDS.say("row.now"),
    )


def _soon(hours: float) -> str:
    """In hours, or in days where there are many."""
    if not hours:
        return WORDS.say("soon.read_at_once")
    return (
        WORDS.say("soon.within_h", hours=hours)
        if hours < 72.0
        else WORDS.say("soon.within_days", hours=hours / 24.0)
    )


def _passes(tests: list[Plain]) -> str:
    """What a pass is worth, and the latest ones."""
    passed = [
        WORDS.say("passes.on", of=one["of"], found_on=day_in_words(one["found_on"]))
        for one in tests
        if one["state"] == "no failure found"
        and one["found_on"]
        and (one["least"] is not None or one["most"] is not None)
    ]
    last = WORDS.say("passes.last", passed=listed(passed)) if passed else ""
    return WORDS.say("passes.pass_no_failure_found", last=last)


def _fails(tests: list[Plain]) -> Iterator[str]:
    """What to do today, whom to tell, what mends it, by the kind of test and what it is for."""
    for kind, title in FAILS.items():
        done: dict[tuple[str, str, str], list[str]] = {}
        for one in tests:
            if one["kind"] == kind:
                classes = done.setdefault((one["today"], one["tell"], one["mend"]), [])
                classes += [] if one["class"] in classes else [one["class"]]
        for (today, tells, mends), classes in done.items():
            tell = WORDS.say("fails.tell", tells=tells) if tells else ""
            mend = WORDS.say("fails.then", mends=mends) if mends else ""
            water = listed([FOR.get(one, one) for one in classes])
            yield f"{title}, {water}. {_sentence(today)}{tell}{mend}"


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."
