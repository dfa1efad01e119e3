"""The handout's working multiplies out; the parts list holds every part and every cut."""

import re
from collections import Counter

import pytest

from eavewell.papers.handout import handout_paper
from eavewell.papers.paper import Ledger
from eavewell.papers.parts_list import CUTS, ORDER, STAND, parts_list_paper
from eavewell.units import read

EXAMPLES = ["barrels", "low-eaves", "part-year", "whole-house"]


def figures(words):
    return [float(one.replace(",", "")) for one in re.findall(r"[\d,]+\.?\d*", words)]


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_worked_line_multiplies_out(set_papers, name):
    """Area times rain times share times 0.623 within the rounding of its figures."""
    paper = handout_paper(set_papers.example(name), day=set_papers.TODAY, system="us")
    line = next(one.words for one in paper.blocks if " = about " in getattr(one, "words", ""))
    area, rain, share, gallons, water = re.search(
        r"([\d,.]+) ft2 x ([\d.]+) in x ([\d.]+) x ([\d.]+) = about ([\d,.]+) gal", line
    ).groups()
    product = figures(area)[0] * float(rain) * float(share) * float(gallons)
    assert float(gallons) == 0.623
    assert figures(water)[0] == pytest.approx(product, rel=0.02)


def test_metric_working_needs_no_factor(set_papers):
    paper = handout_paper(set_papers.example("whole-house"), day=set_papers.TODAY, system="metric")
    line = next(one.words for one in paper.blocks if " = about " in getattr(one, "words", ""))
    area, rain, share, water = re.search(
        r"([\d,.]+) m2 x ([\d.]+) mm x ([\d.]+) = about ([\d,.]+) m3", line
    ).groups()
    product_l = figures(area)[0] * float(rain) * float(share)
    assert float(water) * 1000.0 == pytest.approx(product_l, rel=0.02)


def test_the_worksheet_has_room_and_the_handout_two_pages(set_papers):
    pages = set_papers.pages(
        handout_paper(set_papers.example("whole-house"), day=set_papers.TODAY, system="us")
    )
    assert len(pages) == 2
    assert pages[1].startswith("Your own roof")
    assert "Never enter a tank" in pages[1]


def ledgers(plain, head):
    blocks = parts_list_paper(plain, day=None, system="us").blocks
    return [one for one in blocks if isinstance(one, Ledger) and one.head == head]


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_part_and_every_order_line_stands_there(set_papers, name):
    cost = set_papers.example(name)["cost"]
    stands = ledgers(set_papers.example(name), STAND)
    assert len(stands) == len({part["stand"] for part in cost["parts"]})
    assert sum(len(one.rows) for one in stands) == len(cost["parts"])
    (order,) = ledgers(set_papers.example(name), ORDER)
    assert [row[3] for row in order.rows] == [one["joins"] for one in cost["order"]]


def test_the_cuts_are_all_cut(set_papers):
    """Lengths on the page, as often as they stand there, are the cut lengths of the order."""
    plain = set_papers.example("whole-house")
    (cuts,) = ledgers(plain, CUTS)
    found, named = Counter(), ""
    for part, many, told in cuts.rows:
        named = part or named
        for cut in told.split(", "):
            times, _, length = cut.rpartition(" x ")
            found[named, round(read(length, "length"), 2)] += int(many) * int(times or 1)
    gutters = next(one for one in plain["cost"]["order"] if one["part"] == "gutter")
    wanted = Counter(round(one, 2) for one in gutters["lengths_m"])
    assert {length: many for (part, length), many in found.items() if part == "gutter, 6 in"} == (
        wanted
    )
