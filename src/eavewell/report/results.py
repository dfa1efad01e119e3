"""Water tests as they stand: what is held back first, then each test, then how one is drawn."""

from collections.abc import Iterator
from typing import Any

from eavewell.answers.shown import Sizes, count, day, listed
from eavewell.report.blocks import Block, Caution, heading, marked, paragraph, ruled
from eavewell.report.water_tests import every_in_words, limit_in_words

Plain = dict[str, Any]
HEAD = ("test", "for", "limit", "every", "found", "on", "next")
# from here on a time to the laboratory is told in days
IN_DAYS_H = 72.0
DECIDES = "Screening, not design approval; the health department decides."


def results_page(answer: Plain, sizes: Sizes) -> list[Block]:
    """The tests of a site; a pass is 'no failure found' on its day, and expires."""
    title = heading(f"{answer['site']}: water tests, {day(answer['day'])}")
    return [title, *results_blocks(answer, sizes), *card_blocks(answer)]


def results_blocks(answer: Plain, sizes: Sizes) -> list[Block]:
    """What is held back and done today, then every test against its limit."""
    if not answer["tests"]:
        return [paragraph("No use of this site asks for a test.")]
    rows = [_row(one, sizes) for one in answer["tests"]]
    notes = [_state(one) for one in answer["tests"]]
    return [
        *_held_back(answer),
        ruled(HEAD, rows, names=(0, 1), notes=notes),
        Caution(DECIDES),
    ]


def card_blocks(answer: Plain) -> list[Block]:
    """The sampling card; empty where no test is asked for."""
    if not answer["tests"]:
        return []
    steps = enumerate(answer["sampling"], 1)
    return [
        heading("How a sample is drawn"),
        paragraph(_taps(answer)),
        *(marked(f"{at}.", says, margin=2) for at, says in steps),
        *_bottles(answer),
    ]


def _held_back(answer: Plain) -> Iterator[Block]:
    """What is done today, once for tests that ask the same."""
    done: dict[tuple[str, str, str], list[Plain]] = {}
    for one in answer["tests"]:
        if one["today"]:
            done.setdefault((one["today"], one["tell"], one["mend"]), []).append(one)
    for (today, tell, mend), tests in done.items():
        names = listed(dict.fromkeys(one["of"] for one in tests))
        left = max(one["clear_left"] for one in tests)
        yield paragraph(f"{names}: water for {_classes(tests)} is held back.", style="bold")
        told = f" Tell the {tell}." if tell else ""
        yield paragraph(f"Today: {today}.{told} Then: {mend}.")
        yield paragraph(f"{count(left, 'clear test')} still wanted." if left else "")


def _classes(tests: list[Plain]) -> str:
    return listed(dict.fromkeys(one["class"] for one in tests))


def _row(one: Plain, sizes: Sizes) -> tuple[str, ...]:
    return (
        one["of"],
        one["class"],
        limit_in_words(one, sizes),
        every_in_words(one["every_days"]),
        _found(one),
        day(one["found_on"]),
        _next(one),
    )


def _next(one: Plain) -> str:
    if one["retest"]:
        return day(one["retest"])
    return "when mended" if one["state"] == "failed" else "-"


def _found(one: Plain) -> str:
    if one["found"] is None:
        return "-"
    return f"{'< ' if one['found_below'] else ''}{one['found']:g}"


def _state(one: Plain) -> str:
    """What a result is worth, in a sentence."""
    on = day(one["found_on"])
    until = f"; expires on {day(one['expires'])}" if one["expires"] else ""
    if one["state"] == "no failure found" and one["least"] is None and one["most"] is None:
        return f"Read on {on}; no limit is stated for it here: ask who decides."
    return {
        "no failure found": f"No failure found on {on}{until}.",
        "expired": f"No failure found on {on}, which expired on {day(one['expires'])}.",
        "open": "No result is entered.",
        "proves nothing": f"The result of {on} proves nothing: the laboratory could not see so "
        "little.",
        "failed": f"Failed on {on}.",
        "one more clear test": f"Clear on {on}, after a failure; one more clear test on another "
        "day.",
    }[one["state"]]


def _taps(answer: Plain) -> str:
    if not answer["taps"]:
        return "From the tap that is used."
    return f"From {listed(answer['taps'])}, where people drink."


def _bottles(answer: Plain) -> Iterator[Block]:
    for of, bottle, hours, cold in dict.fromkeys(
        (one["of"], one["bottle"], one["within_h"], one["cold"]) for one in answer["tests"]
    ):
        yield marked("-", f"{of}: {bottle}; {_soon(hours)}{', cold' if cold else ''}.")


def _soon(hours: float) -> str:
    if not hours:
        return "read at once"
    within = count(hours, "hour") if hours < IN_DAYS_H else count(hours / 24.0, "day")
    return f"at the laboratory within {within}"
