"""Where the numbers come from: the tables behind each part of the report, and their sources."""

from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby
from typing import Any

from eavewell.papers.filled import at, holds
from eavewell.papers.joined import Joined, joined
from eavewell.papers.paper import Ledger, PaperBlock, Part
from eavewell.report.blocks import heading, paragraph
from eavewell.tables import rows, sources
from eavewell.tables.texts import words

WORDS = words("number_sources")
Plain = dict[str, Any]
Row = Mapping[str, str]
PART = WORDS.say("part")
VALUES = ("figure", "taken", "range", "source")
VALUE_WIDTHS = (2.6, 1.9, 1.8, 4.4)
SOURCES = WORDS.several("sources")
SOURCE_WIDTHS = (0.5, 6.4, 0.9, 2.2)
LOW_MM = 2.5
KNOWN = {
    "found": WORDS.say("known.found"),
    "memory": WORDS.say("known.memory"),
    "computed": WORDS.say("known.computed"),
    "derived": WORDS.say("known.derived"),
    "common practice": WORDS.say("known.common_practice"),
    "invented": WORDS.say("known.invented"),
}


def sources_part(answer: Plain) -> list[PaperBlock]:
    """The values and tables that parts of this site rest on, each with its source by number."""
    found = joined(answer)
    used = [one for one in rows("report_tables") if _is_used(one, found)]
    numbers = _numbered(row for one in used for row in _rows_of(one, found))
    blocks: list[PaperBlock] = [
        Part(PART),
        paragraph(WORDS.say("sources_part.what_stands_here")),
    ]
    for part, group in groupby(used, key=lambda one: one["part"]):
        lines = [line for one in group for line in _lines(one, found, numbers=numbers)]
        blocks += [heading(part), Ledger(VALUES, tuple(lines), VALUE_WIDTHS, LOW_MM)]
    return [*blocks, heading(WORDS.say("sources_part.sources")), _listed(numbers)]


def _is_used(one: Row, found: Joined) -> bool:
    return any(holds(one["needs"], thing) for thing in found[one["of"]]) and bool(
        _rows_of(one, found)
    )


def _rows_of(one: Row, found: Joined) -> list[Row]:
    """Rows of the table that the site's things name; all of it where nothing is named."""
    told = list(rows(one["table"]))
    if not one["column"]:
        return told
    named = {at(one["key"], thing) for thing in found[one["of"]]}
    return [row for row in told if row[one["column"]] in named]


def _numbered(told: Iterable[Row]) -> dict[str, int]:
    """The keys of the sources in the order in which they are first named."""
    keys = dict.fromkeys(row["source"] for row in told)
    return {key: number for number, key in enumerate(keys, 1)}


def _lines(
    one: Row, found: Joined, *, numbers: Mapping[str, int]
) -> Iterator[tuple[str, str, str, str]]:
    told = _rows_of(one, found)
    if one["form"] == "values":
        for row in told:
            cited = f"{numbers[row['source']]}: {row['place']}"
            name = row["name"].replace("_", " ")
            yield f"{one['what']}: {name}", _taken(row), _range(row), cited
        return
    cited = ", ".join(f"{numbers[key]}" for key in dict.fromkeys(row["source"] for row in told))
    size = WORDS.say("lines.rows", told=len(told)) if len(told) > 1 else "1 row"
    yield one["what"], size, "", cited


def _taken(row: Row) -> str:
    return row["value"] if row["unit"] == "1" else f"{row['value']} {row['unit']}"


def _range(row: Row) -> str:
    if row["low"] == row["value"] == row["high"]:
        return ""
    return WORDS.say("range.to", low=row["low"], high=row["high"])


def _listed(numbers: Mapping[str, int]) -> Ledger:
    told = sources()
    lines = [
        (
            f"{number}",
            told[key]["title"],
            f"{told[key].get('year') or '-'}",
            KNOWN[told[key]["mark"]],
        )
        for key, number in numbers.items()
    ]
    return Ledger(SOURCES, tuple(lines), SOURCE_WIDTHS, LOW_MM)
