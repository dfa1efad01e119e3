"""Log sheets to fill in by hand, a page each, in the order in which they are typed."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from eavewell.papers.paper import NewPage, Paper, PaperBlock, Part
from eavewell.papers.tank_card import wall_paper
from eavewell.papers.wall_blocks import LogLines, Points
from eavewell.site.place import Show
from eavewell.tables import rows
from eavewell.tables.texts import words

WORDS = words("log_sheets")
Plain = dict[str, Any]
LINES, HEIGHT_MM = 24, 8.2
UNITS: Mapping[Show, dict[str, str]] = {
    "us": {"stick": "ft in", "volume": "gal", "rain": "in"},
    "metric": {"stick": "cm", "volume": "L", "rain": "mm"},
}


def log_sheets_paper(answer: Plain, *, day: date, system: Show) -> Paper:
    """Level, meter, rain, tests, tasks, loads."""
    blocks = list[PaperBlock]()
    for row in rows("log_sheets"):
        head = row["columns"].format_map(UNITS[system]).split("|")
        widths = tuple(float(width) for width in row["widths"].split("|"))
        blocks += [NewPage()] if blocks else []
        blocks += [Part(row["title"]), Points((row["when"],), size_pt=11.0)]
        blocks.append(LogLines(tuple(head), widths, LINES, HEIGHT_MM))
    return wall_paper(
        answer, blocks, named=("log-sheets", WORDS.say("page.log_sheets")), day=day, system=system
    )
