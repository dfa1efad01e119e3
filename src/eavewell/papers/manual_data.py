"""The data of a manual: rows of one table, filled from the things of the site."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.papers.filled import filled, filled_as_known, holds
from eavewell.papers.joined import Joined
from eavewell.papers.paper import Ledger
from eavewell.tables import rows
from eavewell.tables.texts import words

WORDS = words("owners_manual")
Plain = dict[str, Any]
Row = Mapping[str, str]
UNKNOWN = "unknown"
ABREAST = 3
# of the table, and of the columns beside its first; of a row in mm
WIDE, OTHERS, LOW_MM = 10.0, 7.0, 3.0
# how a thing of a kind is headed where things stand side by side
HEADS = {
    "plane": WORDS.unfilled("data.heads.plane"),
    "roof": WORDS.unfilled("data.heads.roof"),
    "gutter": WORDS.unfilled("data.heads.gutter"),
    "flush": WORDS.unfilled("data.heads.flush"),
    "pipe": WORDS.unfilled("data.heads.pipe"),
    "screen": WORDS.unfilled("data.heads.screen"),
    "passed": WORDS.unfilled("data.heads.passed"),
    "lamp": WORDS.unfilled("data.heads.lamp"),
    "shock": WORDS.unfilled("data.heads.shock"),
}


def data_of(found: Joined, sizes: Sizes) -> dict[str, list[Ledger]]:
    """Each part with its tables: things side by side, or one list where kinds stand mixed."""
    told: dict[str, list[Ledger]] = {}
    for part, lines in groupby(rows("manual_data"), key=lambda row: row["part"]):
        all_of = tuple(lines)
        if any("{" in row["what"] for row in all_of):
            tables: list[Ledger] = _listed(all_of, found, sizes=sizes)
        else:
            tables = [*_abreast(all_of, found, sizes=sizes)]
        if tables:
            told[part] = tables
    return told


def _listed(lines: Sequence[Row], found: Joined, *, sizes: Sizes) -> list[Ledger]:
    facts = [
        (
            filled_as_known(row["what"], thing, sizes=sizes),
            filled(row["value"], thing, sizes=sizes) or UNKNOWN,
        )
        for row in lines
        for thing in found[row["of"]]
        if holds(row["needs"], thing)
    ]
    once = tuple(dict.fromkeys(facts))
    return [Ledger(WORDS.several("data.listed.head"), once, (4.0, 6.0), LOW_MM)] if once else []


def _abreast(lines: Sequence[Row], found: Joined, *, sizes: Sizes) -> Iterator[Ledger]:
    for kind, group in groupby(lines, key=lambda row: row["of"]):
        asked = tuple(group)
        things = [one for one in found[kind] if any(holds(row["needs"], one) for row in asked)]
        for first in range(0, len(things), ABREAST):
            some = things[first : first + ABREAST]
            heads = [filled_as_known(HEADS.get(kind, "{name}"), one, sizes=sizes) for one in some]
            facts = [
                (row["what"], *(_value(row, one, sizes=sizes) for one in some))
                for row in asked
                if any(holds(row["needs"], one) for one in some)
            ]
            widths = (WIDE - OTHERS, *(OTHERS / len(heads) for _ in heads))
            yield Ledger(("", *heads), tuple(facts), widths, LOW_MM)


def _value(row: Row, thing: Plain, *, sizes: Sizes) -> str:
    if not holds(row["needs"], thing):
        return "-"
    return filled(row["value"], thing, sizes=sizes) or UNKNOWN
