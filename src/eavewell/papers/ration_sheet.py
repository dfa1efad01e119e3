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

Plain = dict[str, Any]
HOLDS = {
    "outlet height": "the outlet's height",
    "valve": "a person shuts its valve",
    "agreement": "by agreement only",
    "unknown": "nothing that is named",
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
        blocks.append(
            Lead("No ration stages are agreed: name levels and shares while the tanks are full.")
        )
    held = [f"{tag.number}, {tag.words}: {words}." for tag in tags for words in tag.holds]
    if held:
        blocks += [
            Large("What holds them", "blue", size_pt=14.0),
            Points(tuple(held), size_pt=11.0),
        ]
    if linked := [one["name"] for one in answer["things"]["tanks"] if one["link_valves"]]:
        blocks.append(
            Points(
                tuple(
                    f"{name}: in a drought shut the tanks off from each other and draw one at a "
                    "time, so that one leak cannot take all."
                    for name in linked
                ),
                size_pt=11.0,
            )
        )
    named = ("ration-stages", "Ration stages")
    return wall_paper(answer, blocks, named=named, day=day, system=system)


def _use(use: str, stages: list[Plain], *, sizes: Sizes) -> Iterator[PaperBlock]:
    yield Large(use, "blue")
    whole = stages[0]["whole_l_per_day"]
    yield Words(f"Whole want in the busiest month: {sizes.daily(whole)}.")
    yield WallRows(
        head=("stage", "stick below", "in it below", "takes", "of its want", "held by"),
        rows=tuple(_row(one, sizes) for one in stages),
        tones=tuple("sand" if one["stage"] == 1 else "rust" for one in stages),
        bold=tuple(range(len(stages))),
        names=(0, 5),
        size_pt=13.0,
    )
    said = [(one["stage"], _words(one)) for one in stages]
    yield Points(tuple(f"Stage {number}: {words}" for number, words in said if words))


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
