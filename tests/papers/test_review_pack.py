"""The review pack: one page of answers, the authority's papers in its order, what is missing."""

from copy import deepcopy
from datetime import date

import pytest

from eavewell.papers.issue import issue_mark
from eavewell.papers.paper import Ledger
from eavewell.papers.review_list import PAPERS, answered_by
from eavewell.papers.review_pack import review_pack_paper

DAY = date(2026, 1, 1)


def listed(plain):
    blocks = review_pack_paper(plain, day=DAY, system="us").blocks
    return next((one for one in blocks if isinstance(one, Ledger) and one.head == PAPERS), None)


@pytest.mark.parametrize("name", ["barrels", "low-eaves", "part-year", "whole-house"])
@pytest.mark.parametrize("system", ["us", "metric"])
def test_the_answer_sheet_is_one_page(set_papers, name, system):
    first, second, *_ = set_papers.pages(
        review_pack_paper(set_papers.example(name), day=DAY, system=system)
    )
    assert "Checks still open" in first
    assert second.startswith("What is asked for, in the order of the rules")
    assert "model rules, check yours" in first
    assert "Model rules, check yours" in second


def test_the_papers_stand_in_the_order_of_the_rules(set_papers):
    plain = set_papers.example("whole-house")
    assert [row[1] for row in listed(plain).rows] == [
        one["name"] for one in plain["rules"]["papers"]
    ]


def test_what_nothing_answers_is_missing_until_it_is_given(set_papers):
    plain = deepcopy(set_papers.example("whole-house"))
    states = {row[1]: row[-1] for row in listed(plain).rows}
    assert states["pre-approval"] == "missing"
    assert states["site plan to scale"] == "drafted, not given"
    assert states["tank leak and overflow test"] == "test not made"
    one = next(one for one in plain["rules"]["papers"] if one["name"] == "pre-approval")
    one |= {"state": "done", "done": "2025-12-01"}
    assert {row[1]: row[-1] for row in listed(plain).rows}["pre-approval"] == "given 1 Dec 2025"


def test_an_authority_s_own_file_is_named_with_its_edition(set_papers):
    plain = deepcopy(set_papers.example("whole-house"))
    own = {"name": "a seal of the county", "when": "before use", "state": "overdue"}
    own |= {"due": "2025-06-01", "done": None, "by": "owner", "source": "made up, 3"}
    rules = {"is_model": False, "authority": "Quailwater County", "edition": "2026"}
    plain["rules"] |= rules | {"papers": [own]}
    text = " ".join(set_papers.pages(review_pack_paper(plain, day=DAY, system="us")))
    assert "Quailwater County, edition 2026." in text
    assert "before use, 1 Jun 2025" in text
    assert "overdue" in text
    assert "check yours" not in text


def test_papers_of_the_model_are_answered_by_a_paper_of_the_set():
    assert answered_by("operation and maintenance manual") == "owner's manual"
    assert answered_by("Labelled schematic").startswith("schematic")
    assert answered_by("itemised receipts") == ""


def test_a_change_gives_another_mark_and_another_day_the_same(set_papers):
    plain = set_papers.example("whole-house")
    other = deepcopy(plain)
    other["rules"]["judged_on"] = "2031-05-05"
    other["treatment"]["tests"][0]["due"] = "2031-05-05"
    assert issue_mark(other) == issue_mark(plain)
    other["hydraulics"]["tanks"][0]["usable_l"] += 1.0
    assert issue_mark(other) != issue_mark(plain)
    assert len(issue_mark(plain)) == 8


def test_the_mark_stands_in_the_revisions_and_at_the_foot(set_papers):
    plain = set_papers.example("barrels")
    pages = set_papers.pages(review_pack_paper(plain, day=DAY, system="us"))
    assert all(f"issue {issue_mark(plain)}" in page for page in pages)
    assert f"bears the mark {issue_mark(plain)}" in pages[-1]
    assert "Seal. Left blank" in " ".join(pages)
