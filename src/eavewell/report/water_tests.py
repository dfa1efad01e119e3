"""The part of the report on water tests: what is asked of whom, and what was found."""

from typing import Any

from eavewell.answers.shown import Sizes, day
from eavewell.report.blocks import GAP, Block, heading, paragraph, ruled
from eavewell.report.cautions import cautioned

Plain = dict[str, Any]
_HEAD = ("test", "for", "limit", "every", "last\nfound", "on", "state", "due")
_HEADS = {"edible": "raw food"}


def water_tests_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """One line a test and class; nothing where no class asks for any."""
    tests = answer["treatment"]["tests"]
    if not tests:
        return []
    rows = [_row(one, sizes) for one in tests]
    found = any(one["found"] is not None for one in tests)
    columns = list(range(len(_HEAD))) if found else [0, 1, 2, 3]
    return [
        heading("Water tests"),
        ruled(
            [_HEAD[column] for column in columns],
            [[row[column] for column in columns] for row in rows],
            names=tuple(range(len(columns))),
        ),
        GAP,
        paragraph("" if found else "None was entered."),
        cautioned(answer, "tests"),
    ]


def _row(one: Plain, sizes: Sizes) -> tuple[str, ...]:
    last = "-"
    if one["found"] is not None:
        less = "< " if one["found_below"] else ""
        last = f"{less}{_amount(one['found'], one['unit'], sizes=sizes)}"
    due = day(one["due"]) if one["state"] == "no failure found" else "now"
    return (
        one["of"],
        _HEADS.get(one["class"]) or str(one["class"]),
        limit_in_words(one, sizes),
        every_in_words(one["every_days"]),
        last,
        day(one["found_on"]),
        one["state"],
        due,
    )


def limit_in_words(one: Plain, sizes: Sizes) -> str:
    """The limit of a test with its unit; a dash where it is only read beside the others."""
    least, most = one["least"], one["most"]
    if most is None:
        return "-" if least is None else f"at least {_amount(least, one['unit'], sizes=sizes)}"
    if least is None:
        return _amount(most, one["unit"], sizes=sizes)
    return f"{least:g} to {_amount(most, one['unit'], sizes=sizes)}"


def _amount(value: float, unit: str, *, sizes: Sizes) -> str:
    return sizes.share(value) if unit == "share" else f"{value:g} {unit}".removesuffix(" pH")


def every_in_words(days: float | None) -> str:
    """How often: once, each year or so many days."""
    if days is None:
        return "once"
    return "year" if days == 365 else f"{days:g} days"
