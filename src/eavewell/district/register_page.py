"""The register of built systems as the screen prints it."""

from typing import Any

from eavewell.answers.shown import Sizes, count, day
from eavewell.papers.board import board_paper
from eavewell.papers.paper import Lead
from eavewell.report.blocks import Block, heading, paragraph, ruled

Plain = dict[str, Any]
HEAD = ("site", "town", "status", "last read", "over", "tests", "meter", "cost")


def register_page(answer: Plain) -> list[Block]:
    """What the board is told first, then a line a site; a dash for what is not shared."""
    sizes = Sizes(answer["show"])
    told = board_paper(answer)
    first = [block.words for block in told.blocks if isinstance(block, Lead)]
    return [
        heading(f"Built systems in {answer['name']}, {day(answer['day'])}"),
        paragraph(*first),
        ruled(HEAD, [_row(one, sizes) for one in answer["sites"]], names=(0, 1, 2)),
        paragraph(*_unreadable(answer)),
        paragraph(
            "A dash is not shared or not known. Over: tasks over their day. Tests: failed, out of "
            "date or never taken. Meter: use against the design. Cost: a year, of the whole life."
        ),
    ]


def _row(one: Plain, sizes: Sizes) -> tuple[str, ...]:
    share = one["used_share"]
    cost = one["yearly_cost"]
    return (
        one["site"],
        one["town"] or "-",
        one["status"],
        day(one["last_reading"]),
        "-" if one["overdue"] is None else str(one["overdue"]),
        tests_words(one),
        "-" if share is None else sizes.share(share),
        "-" if cost is None else f"{cost:,.0f} {one['currency']}",
    )


def tests_words(one: Plain) -> str:
    """How the tests of a site stand; a dash where they are not shared."""
    if one["tests_failed"] is None:
        return "-"
    said = [("failed", one["tests_failed"]), ("out of date", one["tests_expired"])]
    said.append(("never taken", one["tests_open"]))
    return ", ".join(f"{number} {word}" for word, number in said if number) or "none wanting"


def _unreadable(answer: Plain) -> list[str]:
    bad = [one for one in answer["sites"] if one["status"] == "not readable"]
    if not bad:
        return []
    says = "; ".join(f"{one['site']}: {one['says'][0]}" for one in bad[:5])
    return [f"{count(len(bad), 'site')} could not be read. {says}"]
