"""The sheets of a design: drawn once, as SVG for paper and page and as DXF for CAD."""

from datetime import date

from eavewell.answers.shown import day as day_in_words
from eavewell.design import Design
from eavewell.drawings.compose import Paper, compose
from eavewell.drawings.section import section

SIZES = {"us": "tabloid", "metric": "a3"}


def sheets(made: Design, *, day: date) -> dict[str, Paper]:
    """Every sheet laid out, by the name of its file.

    Raises EavewellFault for letters that the fonts lack.
    """
    size = SIZES[made.site.place.show]
    block = {
        "project": made.site.name,
        "record": f"{made.rain.record.name}{' (invented)' if _invented(made) else ''}",
        "date": day_in_words(day.isoformat()),
    }
    found = section(made.site, made.pipes.flushes, size=size, block=block)
    return {"section": compose(found)}


def _invented(made: Design) -> bool:
    return made.rain.record.invented and "invented" not in made.rain.record.name
