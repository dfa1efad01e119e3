"""The parts list on paper: by where one stands to fit them, the order, the cut list."""

from collections import Counter
from collections.abc import Iterator
from datetime import date
from itertools import groupby
from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.papers.design_report import paper_of
from eavewell.papers.paper import Ledger, Paper, PaperBlock, Part
from eavewell.report.blocks import paragraph
from eavewell.report.parts import amount, part_named, spares
from eavewell.site.place import Show
from eavewell.tables.texts import words
from eavewell.units import show

WORDS = words("parts_list")
Plain = dict[str, Any]
NAMED = ("parts-list", WORDS.say("named"))
STAND = WORDS.several("stand")
STAND_WIDTHS = (3.0, 2.2, 0.9, 2.8)
ORDER = WORDS.several("order")
ORDER_WIDTHS = (3.2, 1.0, 1.0, 2.7, 0.8, 0.7)
CUTS = WORDS.several("cuts")
CUT_WIDTHS = (2.6, 0.9, 5.0)
LOW_MM = 3.0


def parts_list_paper(answer: Plain, *, day: date, system: Show) -> Paper:
    """Every part of a design; prices stand in the workbook and in the report."""
    sizes = Sizes(system)
    blocks: list[PaperBlock] = [
        paragraph(WORDS.say("page.parts_grouped_by_where")),
        *_by_stand(answer["cost"]["parts"], sizes),
        Part(WORDS.say("page.order")),
        paragraph(WORDS.say("page.same_parts_together_as")),
        Ledger(
            ORDER,
            tuple(_ordered(one, sizes) for one in answer["cost"]["order"]),
            ORDER_WIDTHS,
            LOW_MM,
        ),
        *_cut_list(answer["cost"]["order"], sizes),
        *_left(answer["cost"]),
    ]
    return paper_of(answer, blocks, named=NAMED, day=day, system=system)


def _by_stand(parts: list[Plain], sizes: Sizes) -> Iterator[PaperBlock]:
    for stand, group in groupby(parts, key=lambda part: part["stand"]):
        lines: list[tuple[str, ...]] = []
        for where, alike in groupby(group, key=lambda part: part["where"]):
            told = [(_looked_for(one, sizes), amount(one, sizes), one["joins"]) for one in alike]
            # what the parts are for stands once
            lines += [(part, "" if at else where, *rest) for at, (part, *rest) in enumerate(told)]
        yield Part(stand[:1].upper() + stand[1:])
        yield Ledger(STAND, tuple(lines), STAND_WIDTHS, LOW_MM)


def _looked_for(part: Plain, sizes: Sizes) -> str:
    """The part with what to look for when buying; said where it is there already."""
    said = (
        part_named(part, sizes),
        part["says"],
        WORDS.say("looked_for.there_already") if part.get("there") else "",
    )
    return "; ".join(words for words in said if words)


def _ordered(part: Plain, sizes: Sizes) -> tuple[str, ...]:
    lengths = f"{part['stock_pieces']}" if part["stock_pieces"] else ""
    count, spare = amount(part, sizes), spares(part, sizes)
    return _looked_for(part, sizes), count, spare, part["joins"], lengths, ""


def _cut_list(order: list[Plain], sizes: Sizes) -> list[PaperBlock]:
    """Every stock length with what is cut from it; equal ones once."""
    lines = []
    for part in order:
        alike = Counter(_cuts(piece["cuts_m"], sizes) for piece in part["pieces"])
        for at, (cuts, many) in enumerate(alike.items()):
            lines.append((part_named(part, sizes) if at == 0 else "", f"{many}", cuts))
    if not lines:
        return []
    return [
        Part(WORDS.say("cut_list")),
        paragraph(WORDS.say("cut_list.cut_longest_first_saw")),
        Ledger(CUTS, tuple(lines), CUT_WIDTHS, LOW_MM),
    ]


def _cuts(cuts_m: list[float], sizes: Sizes) -> str:
    """The cuts of one length: 3 x 2 ft, 1 ft."""
    alike = Counter(show(cut_m, "length", system=sizes.system) for cut_m in cuts_m)
    return ", ".join(f"{many} x {cut}" if many > 1 else cut for cut, many in alike.items())


def _left(cost: Plain) -> list[PaperBlock]:
    names = [*cost["unmatched"]]
    return [paragraph(WORDS.say("left.said_be_there_but", names=", ".join(names)))] if names else []
