"""The review pack: one page of answers, then the authority's list in its order."""

from datetime import date
from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.answers.shown import day as day_in_words
from eavewell.papers.design_report import paper_of
from eavewell.papers.issue import issue_mark
from eavewell.papers.joined import joined
from eavewell.papers.paper import Blank, Form, Ledger, NewPage, Paper, PaperBlock, Part
from eavewell.papers.review_list import asked_papers, distances, met_triggers
from eavewell.papers.review_sheet import answer_sheet
from eavewell.report.blocks import Caution, heading, paragraph
from eavewell.report.rules import CHECK_YOURS
from eavewell.site.place import Show

Plain = dict[str, Any]
NAMED = ("review-pack", "Review pack")
REVISIONS = ("no.", "day", "issue mark", "what changed", "sheets superseded", "by")
REVISION_WIDTHS = (0.5, 1.2, 1.2, 2.8, 1.8, 1.0)
FREE_LINES = 4


def review_pack_paper(answer: Plain, *, day: date, system: Show) -> Paper:
    """The pack of a design for the authority named in its site file, or for the model rules."""
    sizes = Sizes(system)
    blocks: list[PaperBlock] = [
        Part("Answer sheet"),
        answer_sheet(joined(answer), answer, sizes=sizes),
        NewPage(),
        Part("What is asked for, in the order of the rules"),
        paragraph(_whose(answer["rules"])),
        *asked_papers(answer["rules"]),
        heading("What asks for it"),
        met_triggers(answer["rules"], sizes),
        *distances(answer["rules"], sizes),
        *_signed(answer, day),
    ]
    return paper_of(answer, blocks, named=NAMED, day=day, system=system)


def _whose(rules: Plain) -> str:
    if rules["is_model"]:
        return (
            f"{CHECK_YOURS} They are nobody's rules; the authority's own file takes their place "
            "in the site file."
        )
    return f"{rules['authority']}, edition {rules['edition']}."


def _signed(answer: Plain, day: date) -> list[PaperBlock]:
    mark = issue_mark(answer)
    first = ("1", day_in_words(day.isoformat()), mark, "first issue", "none", "")
    free = (("", "", "", "", "", ""),) * FREE_LINES
    return [
        Part("Prepared by"),
        Form(("Prepared by", "In the role of", "Licence, number, state", "Signature, day")),
        Form(("For the owner", "Address of the site")),
        Blank("Seal. Left blank: nothing here is sealed or approved until a person seals it.", 45),
        Part("Revisions"),
        Ledger(REVISIONS, (first, *free), REVISION_WIDTHS, 8.0),
        paragraph(
            f"This issue bears the mark {mark}, made from all figures of the design. A sheet or "
            "paper with another mark or an earlier day is superseded."
        ),
        Caution(
            "Screening, not design approval: the authority having jurisdiction and licensed "
            "trades decide."
        ),
    ]
