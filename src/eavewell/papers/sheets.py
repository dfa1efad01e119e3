"""The sheets of a design: drawn once, as SVG for paper and page and as DXF for CAD."""

from collections.abc import Iterator
from datetime import date
from typing import Any

from eavewell.answers.shown import day as day_in_words
from eavewell.design import Design
from eavewell.drawings.compose import Paper, compose
from eavewell.drawings.details import details
from eavewell.drawings.letters import refuse_missing
from eavewell.drawings.marks import Sheet
from eavewell.drawings.plan import plan
from eavewell.drawings.run_card import run_card
from eavewell.drawings.schematic import schematic
from eavewell.drawings.section import section
from eavewell.papers.issue import issue_mark
from eavewell.site.site import Site

SIZES = {"us": "tabloid", "metric": "a3"}


def sheets(made: Design, answer: dict[str, Any], *, day: date) -> dict[str, Paper]:
    """Every sheet laid out, by the name of its file.

    Raises EavewellFault for letters that the fonts lack.
    """
    refuse_missing(_names(made.site))
    block = {
        "project": made.site.name,
        "record": f"{made.rain.record.name}{' (invented)' if _invented(made) else ''}",
        "date": f"{day_in_words(day.isoformat())}, issue {issue_mark(answer)}",
    }
    return {sheet.name: compose(sheet) for sheet in _sheets(made, answer, block=block)}


def _sheets(made: Design, answer: dict[str, Any], *, block: dict[str, str]) -> Iterator[Sheet]:
    site, flushes = made.site, made.pipes.flushes
    size = SIZES[site.place.show]
    yield section(site, flushes, size=size, block=block)
    yield plan(site, size=size, block=block)
    yield from schematic(site, size=size, block=block)
    yield from details(site, flushes, size=size, block=block)
    yield from run_card(site, answer, block=block)


def _names(site: Site) -> Iterator[str]:
    """Every name that a person gave, so that a letter is refused with the whole of its name."""
    yield site.name
    for things in (site.roofs, site.tanks, site.lifts, site.lines, site.uses):
        yield from (thing.name for thing in things)


def _invented(made: Design) -> bool:
    return made.rain.record.invented and "invented" not in made.rain.record.name
