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
from eavewell.tables.texts import words

WORDS = words("review_pack")
Plain = dict[str, Any]
NAMED = ("review-pack", WORDS.say("named"))
REVISIONS = WORDS.several("revisions")
REVISION_WIDTHS = (0.5, 1.2, 1.2, 2.8, 1.8, 1.0)
FREE_LINES = 4


def review_pack_paper(answer: Plain, *, day: date, system: Show) -> Paper:
    """The pack of a design for the authority named in its site file, or for the model rules."""
    sizes = Sizes(system)
    blocks: list[PaperBlock] = [
        Part(WORDS.say("page.answer_sheet")),
        answer_sheet(joined(answer), answer, sizes=sizes),
        NewPage(),
        Part(WORDS.say("page.asked_for")),
        paragraph(_whose(answer["rules"])),
        *asked_papers(answer["rules"]),
        heading(WORDS.say("page.what_asks_for_it")),
        met_triggers(answer["rules"], sizes),
        *distances(answer["rules"], sizes),
        *_signed(answer, day),
    ]
    return paper_of(answer, blocks, named=NAMED, day=day, system=system)


def _whose(rules: Plain) -> str:
    if rules["is_model"]:
        return WORDS.say("whose.nobodys_rules", check_yours=CHECK_YOURS)
    return WORDS.say("whose.edition", authority=rules["authority"], edition=rules["edition"])


def _signed(answer: Plain, day: date) -> list[PaperBlock]:
    mark = issue_mark(answer)
    first = ("1", day_in_words(day.isoformat()), mark, WORDS.say("signed.first_issue"), "none", "")
    free = (("", "", "", "", "", ""),) * FREE_LINES
    return [
        Part(WORDS.say("signed.prepared_by")),
        Form(WORDS.several("signed.form")),
        Form(WORDS.several("signed.for_owner_address")),
        Blank(WORDS.say("signed.seal_left_blank_nothing"), 45),
        Part(WORDS.say("signed.revisions")),
        Ledger(REVISIONS, (first, *free), REVISION_WIDTHS, 8.0),
        paragraph(WORDS.say("signed.this_issue_bears_mark", mark=mark)),
        Caution(WORDS.say("signed.screening_not_design_approval")),
    ]
