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

NAMED = ("commissioning", "Commissioning sheet")
HEAD = ("test", "expected", "found", "by", "signed, day")
WIDTHS = (3.2, 2.5, 1.4, 1.2, 1.7)
DANGERS = ("never-enter", "pump-power", "lift-power", "shock-not-drunk")


def commissioning_paper(answer: dict[str, Any], *, day: date, system: Show) -> Paper:
    """Every test that this site calls for, part by part."""
    sizes = Sizes(system)
    blocks: list[PaperBlock] = [
        paragraph(
            "Expected figures are worked out from this design; a found figure that is far from its "
            "expected one is looked into before the system is used. Write what is read, with its "
            "unit. At a fixture without a spout the bucket stands under its loosened hose."
        ),
        Form(("Day of the trial, weather", "Level in the tanks at its start", "Present")),
    ]
    for part, tried in groupby(tests(joined(answer), sizes), key=lambda one: one[0]):
        blocks += [Part(part), Ledger(HEAD, tuple(row for _, row in tried), WIDTHS, 9.0)]
    told = [one["says"] for one in answer["cautions"] if one["code"] in DANGERS]
    blocks.append(Caution(" ".join(dict.fromkeys(told))))
    blocks += [
        Part("Result"),
        paragraph(
            "This sheet records a trial. It is no approval of the water or of the structure: the "
            "authority having jurisdiction, the health department and licensed trades decide."
        ),
        Form(("Left to do, by whom, until when", "", "Installer, licence", "Owner", "Inspector")),
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
    return words or f"not reckoned: {row['unknown'] or 'a size'} unknown"
