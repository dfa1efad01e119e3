"""The ration stages on one sheet: when each begins, what is left of the want, what to do."""

from collections.abc import Iterator
from datetime import date
from itertools import groupby
from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.drawings.tags import Tag
from eavewell.papers.paper import Lead, Paper, PaperBlock
from eavewell.papers.tank_card import on_stick, wall_paper
from eavewell.papers.wall_blocks import Large, Points, WallRows
from eavewell.report.blocks import Words
from eavewell.site.place import Show
from eavewell.tables import rows
from eavewell.tables.texts import words

WORDS = words("ration_sheet")
Plain = dict[str, Any]
HOLDS = {
    "outlet height": WORDS.say("holds.outlet_height"),
    "valve": WORDS.say("holds.valve"),
    "agreement": WORDS.say("holds.agreement"),
    "unknown": WORDS.say("holds.unknown"),
}


def ration_sheet_paper(
    answer: Plain, *, day: date, system: Show, tags: tuple[Tag, ...] = ()
) -> Paper:
    """Every use that has stages. tags : numbers of the valves that hold them."""
    sizes, blocks = Sizes(system), list[PaperBlock]()
    stages = answer["cards"]["stages"]
    for use, of_use in groupby(stages, key=lambda one: one["use"]):
        blocks += _use(use, list(of_use), sizes=sizes)
    if not stages:
        blocks.append(Lead(WORDS.say("page.no_ration_stages_agreed")))
    held = [f"{tag.number}, {tag.words}: {words}." for tag in tags for words in tag.holds]
    if held:
        blocks += [
            Large(WORDS.say("page.what_holds_them"), "blue", size_pt=14.0),
            Points(tuple(held), size_pt=11.0),
        ]
    if linked := [one["name"] for one in answer["things"]["tanks"] if one["link_valves"]]:
        blocks.append(
            Points(
                tuple(WORDS.say("page.drought_shut_tanks_off", name=name) for name in linked),
                size_pt=11.0,
            )
        )
    named = ("ration-stages", WORDS.say("page.ration_stages"))
    return wall_paper(answer, blocks, named=named, day=day, system=system)


def _use(use: str, stages: list[Plain], *, sizes: Sizes) -> Iterator[PaperBlock]:
    yield Large(use, "blue")
    whole = stages[0]["whole_l_per_day"]
    yield Words(WORDS.say("use.whole_want_busiest_month", whole=sizes.daily(whole)))
    yield WallRows(
        head=WORDS.several("use.head"),
        rows=tuple(_row(one, sizes) for one in stages),
        tones=tuple("sand" if one["stage"] == 1 else "rust" for one in stages),
        bold=tuple(range(len(stages))),
        names=(0, 5),
        size_pt=13.0,
    )
    said = [(one["stage"], _words(one)) for one in stages]
    yield Points(
        tuple(WORDS.say("use.stage", number=number, words=words) for number, words in said if words)
    )


def _row(stage: Plain, sizes: Sizes) -> tuple[str, ...]:
    return (
        f"{stage['stage']}",
        on_stick(stage["level_m"], sizes.system),
        sizes.volume(stage["below_l"]),
        sizes.daily(stage["l_per_day"]),
        sizes.share(stage["share"]),
        HOLDS.get(stage["held_by"], f"a {stage['held_by']}"),
    )


def _words(stage: Plain) -> str:
    """What a household or herd does in it; the hardest words for stages beyond the table."""
    found = [row["says"] for row in rows("ration_words") if row["class"] == stage["class"]]
    return found[min(stage["stage"], len(found)) - 1] if found else ""
