"""The commissioning sheet: each test with the figure this design expects and room to sign."""

from collections.abc import Iterator, Mapping
from datetime import date
from itertools import groupby
from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.papers.design_report import paper_of
from eavewell.papers.filled import filled, filled_as_known, needed
from eavewell.papers.joined import Joined, joined
from eavewell.papers.paper import Form, Ledger, Paper, PaperBlock, Part
from eavewell.report.blocks import Caution, paragraph
from eavewell.site.place import Show
from eavewell.tables import rows
from eavewell.tables.texts import words

WORDS = words("commissioning")
NAMED = ("commissioning", WORDS.say("named"))
HEAD = WORDS.several("head")
WIDTHS = (3.2, 2.5, 1.4, 1.2, 1.7)
DANGERS = ("never-enter", "pump-power", "lift-power", "shock-not-drunk")


def commissioning_paper(answer: dict[str, Any], *, day: date, system: Show) -> Paper:
    """Every test that this site calls for, part by part."""
    sizes = Sizes(system)
    blocks: list[PaperBlock] = [
        paragraph(WORDS.say("page.expected_figures_worked_out")),
        Form(WORDS.several("page.form")),
    ]
    for part, tried in groupby(tests(joined(answer), sizes), key=lambda one: one[0]):
        blocks += [Part(part), Ledger(HEAD, tuple(row for _, row in tried), WIDTHS, 9.0)]
    told = [one["says"] for one in answer["cautions"] if one["code"] in DANGERS]
    blocks.append(Caution(" ".join(dict.fromkeys(told))))
    blocks += [
        Part(WORDS.say("page.result")),
        paragraph(WORDS.say("page.this_sheet_records_trial")),
        Form(
            (
                WORDS.say("page.left_do_by_whom"),
                "",
                WORDS.say("page.installer_licence"),
                WORDS.say("page.owner"),
                WORDS.say("page.inspector"),
            )
        ),
    ]
    return paper_of(answer, blocks, named=NAMED, day=day, system=system)


def tests(found: Joined, sizes: Sizes) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Every test with its part: what is done, what is expected, by whom; the rest left to write."""
    for part, told in groupby(rows("commissioning"), key=lambda row: row["part"]):
        for row, thing in needed(tuple(told), found):
            test = filled_as_known(row["test"], thing, sizes=sizes)
            yield part, (test, _expected(row, thing, sizes=sizes), "", row["by"], "")


def _expected(row: Mapping[str, str], thing: dict[str, Any], *, sizes: Sizes) -> str:
    words = filled(row["expected"], thing, sizes=sizes)
    return words or WORDS.say("expected.not_reckoned_unknown", unknown=row["unknown"] or "a size")
