"""The field sheet on paper: the same items in the same order, and lines for the level book."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from eavewell.drawings.field_verify import field_verify
from eavewell.files.field.items import Item, stops
from eavewell.papers.design_report import paper_of
from eavewell.papers.paper import Form, Ledger, Paper, PaperBlock, Part
from eavewell.report.blocks import Words, paragraph
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.tables import table
from eavewell.tables.texts import words

WORDS = words("field_sheet")
NAMED = ("field-sheet", WORDS.say("named"))
HEAD = WORDS.several("head")
WIDTHS = (0.9, 4.6, 1.7, 1.9, 0.8, 2.1)
BOOK_HEAD = WORDS.several("book_head")
BOOK_WIDTHS = (2.4, 1.2, 1.4, 1.2, 1.4, 2.0)
BOOK_LINES = 12
TO_FIND, TO_CHECK = WORDS.say("page.find"), WORDS.say("page.check")


def field_sheet_paper(
    site: Site, answer: dict[str, Any], *, raw: Mapping[str, Any], day: date, system: Show
) -> Paper:
    """Every item of the visit; no blocks where nothing is known of the site file.

    raw : what stands in it.
    """
    found = stops(raw, boxed=field_verify(site)) if raw else ()
    blocks: list[PaperBlock] = [
        paragraph(WORDS.say("page.how_marked")),
        Form(WORDS.several("page.day_weather_by")),
    ]
    for row, stop in enumerate(found):
        blocks.append(Part(stop.title))
        if row == 0:
            blocks += _level_book()
        blocks.append(Ledger(HEAD, tuple(_line(one) for one in stop.items), WIDTHS, 7.5))
    return paper_of(answer, blocks if found else [], named=NAMED, day=day, system=system)


def _line(one: Item) -> tuple[str, ...]:
    what = f"{one.part}: {one.question}" if one.part else one.question
    return TO_FIND if one.ask else TO_CHECK, what, one.value, "", "M T G", ""


def _level_book() -> list[PaperBlock]:
    """Lines for the rod readings, and how they are booked."""
    allowed_mm = table("field_levels")["misclosure a set-up"].value
    return [
        Words(WORDS.say("level_book.back_on_known_point", allowed_mm=allowed_mm)),
        Ledger(
            BOOK_HEAD,
            ((WORDS.say("level_book.datum"), *("",) * 5), *((("",) * 6,) * BOOK_LINES)),
            BOOK_WIDTHS,
            7.0,
        ),
    ]
