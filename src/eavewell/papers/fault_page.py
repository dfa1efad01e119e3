"""The fault page: symptom, ranked causes, and the number that this design expects."""

from collections.abc import Iterator, Mapping
from datetime import date
from itertools import groupby
from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.papers.filled import filled, filled_as_known, needed
from eavewell.papers.joined import Joined
from eavewell.papers.paper import Paper, PaperBlock
from eavewell.papers.tank_card import NEVER, wall_paper
from eavewell.papers.wall_blocks import Large, WallRows
from eavewell.papers.wall_things import wall_things
from eavewell.report.blocks import Caution, Words
from eavewell.site.place import Show
from eavewell.tables import rows
from eavewell.tables.texts import words

WORDS = words("fault_page")
Plain = dict[str, Any]
Row = Mapping[str, str]
# more things of a kind than this are told by the word of the table, not one by one
MOST_NAMED = 6
CAUTION = WORDS.say("caution")


def fault_page_paper(answer: Plain, *, day: date, system: Show) -> Paper:
    """Every symptom whose causes this site can have."""
    sizes = Sizes(system)
    found = wall_things(answer, sizes)
    blocks: list[PaperBlock] = [
        Words(WORDS.say("page.likeliest_cause_stands_first")),
        Large(NEVER, "rust", size_pt=12.0),
        Caution(CAUTION),
    ]
    named = ("fault-page", WORDS.say("page.when_something_wrong"))
    blocks.append(_table(found, sizes=sizes))
    return wall_paper(answer, blocks, named=named, day=day, system=system)


def _table(found: Joined, *, sizes: Sizes) -> WallRows:
    """Symptoms across the table, their causes by rank below."""
    told, across = list[tuple[str, str, str]](), list[int]()
    for symptom, causes in groupby(rows("faults"), key=lambda row: row["symptom"]):
        kept = [one for row in causes if (one := _cause(row, found, sizes=sizes))]
        if kept:
            across.append(len(told))
            told.append((symptom, "", ""))
            told += [(f"{at}. {one[0]}", *one[1:]) for at, one in enumerate(kept, 1)]
    return WallRows(
        head=WORDS.several("table.head"),
        rows=tuple(told),
        tones=tuple("sand" if at in across else "" for at in range(len(told))),
        across=tuple(across),
        widths=(1.0, 1.1, 1.25),
        names=(0, 1, 2),
        size_pt=9.2,
    )


def _cause(row: Row, found: Joined, *, sizes: Sizes) -> tuple[str, str, str] | None:
    """Cause, check and what to expect; None where the site has nothing of the kind."""
    things = [thing for _, thing in needed((row,), found)]
    if not things:
        return None
    check = filled_as_known(row["check"], things[0], sizes=sizes)
    return row["cause"], check, "\n".join(_expected(row, things, sizes=sizes))


def _expected(row: Row, things: list[Plain], *, sizes: Sizes) -> Iterator[str]:
    """What each thing should show; where it is unknown, what to measure."""
    unknown = []
    for thing in things[:MOST_NAMED]:
        said = filled(row["expect"], thing, sizes=sizes)
        if said is None:
            unknown.append(filled_as_known(row["measure"], thing, sizes=sizes))
        else:
            yield _named(said, thing, among=things)
    for one in dict.fromkeys(unknown):
        yield WORDS.say("expected.unknown_measure", one=one)
    if len(things) > MOST_NAMED:
        yield WORDS.say("expected.more_design_report", things=len(things) - MOST_NAMED)


def _named(said: str, thing: Plain, *, among: list[Plain]) -> str:
    name = thing.get("name") or thing.get("roof") or thing.get("tank") or ""
    return f"{name}: {said}" if len(among) > 1 and name and name not in said else said
