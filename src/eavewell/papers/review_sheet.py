"""The answer sheet of the review pack: item, value, where it stands, edition of the code."""

from collections.abc import Mapping
from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.papers.filled import filled, filled_as_known, holds
from eavewell.papers.joined import Joined
from eavewell.papers.paper import Ledger
from eavewell.tables import rows
from eavewell.tables.texts import words

WORDS = words("review_pack")
Plain = dict[str, Any]
HEAD = WORDS.several("sheet.head")
WIDTHS = (2.1, 3.4, 2.3, 2.0)
LOW_MM = 3.0
# so that the sheet stays one page
MOST = 4


def answer_sheet(found: Joined, answer: Plain, *, sizes: Sizes) -> Ledger:
    """One line an item; things of one kind stand together in its value."""
    lines = []
    for row in rows("review_items"):
        things = [thing for thing in found[row["of"]] if holds(row["needs"], thing)]
        if things:
            edition = _edition(row, things, answer=answer)
            lines.append((row["item"], _values(row, things, sizes=sizes), row["sheet"], edition))
    return Ledger(HEAD, tuple(lines), WIDTHS, LOW_MM)


def _values(row: Mapping[str, str], things: list[Plain], *, sizes: Sizes) -> str:
    """The first few as far as they are known, and how many more there are."""
    told = [filled_as_known(row["value"], thing, sizes=sizes) for thing in things[:MOST]]
    more = len(things) - MOST
    return "; ".join(told) + (WORDS.say("sheet.values.more_report", more=more) if more > 0 else "")


def _edition(row: Mapping[str, str], things: list[Plain], *, answer: Plain) -> str:
    rules = answer["rules"]
    if row["edition"] == "rules":
        return (
            WORDS.say("sheet.edition.model_rules_check_yours")
            if rules["is_model"]
            else _named(rules)
        )
    said = (filled(row["edition"], thing, sizes=Sizes("us")) for thing in things)
    return "; ".join(words for words in dict.fromkeys(said) if words) or "-"


def _named(rules: Plain) -> str:
    return f"{rules['authority']}, {rules['edition']}"
