"""The fault page: symptom, ranked causes, and the number that this design expects."""

from datetime import date
from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.papers.fault_causes import causes
from eavewell.papers.joined import Joined
from eavewell.papers.paper import Paper, PaperBlock
from eavewell.papers.tank_card import NEVER, wall_paper
from eavewell.papers.wall_blocks import Large, WallRows
from eavewell.papers.wall_things import wall_things
from eavewell.report.blocks import Caution, Words
from eavewell.site.place import Show
from eavewell.tables.texts import words

WORDS = words("fault_page")
Plain = dict[str, Any]
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
    for symptom, kept in causes(found, sizes=sizes).items():
        across.append(len(told))
        told.append((symptom, "", ""))
        told += [(f"{one.number}. {one.says}", one.check, "\n".join(one.expect)) for one in kept]
    return WallRows(
        head=WORDS.several("table.head"),
        rows=tuple(told),
        tones=tuple("sand" if at in across else "" for at in range(len(told))),
        across=tuple(across),
        widths=(1.0, 1.1, 1.25),
        names=(0, 1, 2),
        size_pt=9.2,
    )
