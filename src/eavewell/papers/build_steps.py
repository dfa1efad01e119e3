"""Build steps: what is measured on the first day, then the order of work with its hold points."""

from collections.abc import Iterator
from datetime import date
from itertools import groupby
from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.papers.design_report import paper_of
from eavewell.papers.filled import filled_as_known, holds
from eavewell.papers.first_day import first_day
from eavewell.papers.joined import Joined, joined
from eavewell.papers.paper import Form, Paper, PaperBlock, Part, Step
from eavewell.report.blocks import Caution, paragraph
from eavewell.site.place import Show
from eavewell.tables import rows
from eavewell.tables.texts import words

WORDS = words("build_steps")
NAMED = ("build-steps", WORDS.say("named"))
DANGERS = ("never-enter", "dig", "ladders", "weight", "pump-power")


def build_steps_paper(
    answer: dict[str, Any], *, day: date, system: Show, verify: tuple[str, ...] = ()
) -> Paper:
    """The steps that this site needs, in order, each with a box and room for who signs.

    verify : what is boxed on the sheets, as "thing: what", to be measured on the first day.
    """
    sizes = Sizes(system)
    blocks: list[PaperBlock] = [
        paragraph(WORDS.say("page.work_down_this_list")),
        Caution(" ".join(_dangers(answer))),
        *first_day(answer, sizes, verify=verify),
        *_stages(joined(answer), sizes),
        Form(WORDS.several("page.form")),
    ]
    return paper_of(answer, blocks, named=NAMED, day=day, system=system)


def steps(found: Joined, sizes: Sizes) -> Iterator[tuple[str, Step]]:
    """Every step that something on the site calls for, with its stage; numbered from 1."""
    number = 0
    for row in rows("build_steps"):
        things = [thing for thing in found[row["of"]] if holds(row["needs"], thing)]
        if not things:
            continue
        number += 1
        said = (filled_as_known(row["each"], one, sizes=sizes) for one in things if row["each"])
        says = tuple(dict.fromkeys(said))
        told = (", ".join(says),) if row["each"] == "{name}" else says
        yield row["stage"], Step(number, row["says"], told, row["signs"])


def _stages(found: Joined, sizes: Sizes) -> Iterator[PaperBlock]:
    for stage, told in groupby(steps(found, sizes), key=lambda one: one[0]):
        yield Part(stage)
        yield from (step for _, step in told)


def _dangers(answer: dict[str, Any]) -> list[str]:
    return [one["says"] for one in answer["cautions"] if one["code"] in DANGERS]
