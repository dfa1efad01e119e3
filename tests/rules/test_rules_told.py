"""The rules of the place as plain data and as a page."""

import json
from dataclasses import replace
from datetime import date
from io import StringIO

import pytest
from jsonschema import Draft202012Validator
from rich.console import Console

from eavewell.answers.rules import rules_answer
from eavewell.answers.schema import schema
from eavewell.answers.shown import Sizes
from eavewell.files.authority import model_authority
from eavewell.report.rules import rules_section
from eavewell.rules.judged import judge
from eavewell.site.authority import Inspection
from eavewell.terminal.page import laid_out


def told(site, authority, *, today):
    return rules_answer(judge(site, authority, today=today))


def page(answer, system="us", width=80):
    out = StringIO()
    console = Console(file=out, width=width, color_system=None)
    console.print(laid_out(rules_section({"rules": answer}, Sizes(system))))
    return out.getvalue()


@pytest.fixture
def county(by_hand):
    return by_hand.rules(
        triggers=(
            by_hand.trigger(above=1000.0),
            by_hand.trigger("end use", "indoors", end_use="indoor"),
            by_hand.trigger("height over width", "tall", above=2.0),
        ),
        setbacks=(by_hand.setback(3.048), by_hand.setback(3.048, to="well")),
        papers=(
            by_hand.paper(who="rebate office"),
            by_hand.paper("site plan", "before building"),
            by_hand.paper("letter", "before building", triggers=("tall",)),
        ),
        inspections=(Inspection("screens", 90.0, by_hand.WRITTEN),),
        drainage_years=100.0,
        drainage_minutes=60.0,
    )


@pytest.fixture
def site(making, by_hand):
    tank = making.tank(1500.0, distances=(("building", 1.0),))
    return by_hand.with_permission(
        making.site(tanks=(tank,)),
        by_hand.done(day=date(2027, 3, 9)),
        by_hand.done("photograph", by="owner"),
        purchase=date(2027, 3, 8),
        use=date(2027, 6, 1),
    )


def test_the_answer_keeps_to_its_table(site, county, by_hand):
    asked = schema()["properties"]["rules"]
    for authority in (county, model_authority()):
        answer = told(site, authority, today=by_hand.TODAY)
        Draft202012Validator(asked).validate(json.loads(json.dumps(answer)))


def test_the_answer_by_hand(site, county, by_hand):
    answer = told(site, county, today=by_hand.TODAY)
    assert not answer["ready"]
    assert [one["met"] for one in answer["triggers"]] == [True, True, None]
    assert [one["kept"] for one in answer["setbacks"]] == [False, None]
    assert [one["state"] for one in answer["papers"]] == ["too late", "open", "perhaps"]
    assert answer["other_papers"] == [{"name": "photograph", "done": "2027-03-01", "by": "owner"}]
    # 29 days left of June, 31 of July, and 30 of August
    assert answer["inspections"][0]["next"] == "2027-08-30"
    assert (answer["drainage_years"], answer["drainage_minutes"]) == (100.0, 60.0)


def test_the_page(site, county, by_hand):
    text = page(told(site, county, today=by_hand.TODAY))
    assert "Invented County, edition 2026." in text
    assert "Model rules" not in text
    # 1,500 L are 396 gal, 1,000 L are 264
    assert "tank 'tank' (396 gal, above 264 gal) and use 'house': a permit." in text
    assert "too near" in text
    assert "not given" in text
    assert "9 Mar 2027" in text
    assert "too late" in text
    assert "rebate office" in text
    assert "perhaps" in text
    assert "30 Aug 2027" in text
    assert "Not ready: 0 of 3 papers done in time." in text


def test_many_things_that_ask_the_same_are_one_list(site, county, by_hand):
    answer = told(site, county, today=by_hand.TODAY)
    answer["triggers"][1]["things"] = ["use 'a'", "use 'b'"]
    assert "(396 gal, above 264 gal), use 'a' and use 'b': a permit." in page(answer, width=200)


def test_a_ratio_little_above_its_trigger_is_told_apart_from_it(site, county, by_hand):
    answer = told(site, county, today=by_hand.TODAY)
    answer["triggers"][2] |= {"met": True, "measured": 0.843, "above": 0.8, "things": ["a"]}
    assert "a (0.84 times as high as wide, above 0.8 times" in page(answer, width=200)


def test_the_model_says_so_on_the_page(making, by_hand):
    text = page(told(making.site(), model_authority(), today=by_hand.TODAY))
    flat = " ".join(text.split())
    assert "Model rules, check yours with the authority having jurisdiction." in flat
    assert "given" not in text.replace("not given", "")


def test_a_full_list_is_no_approval(making, by_hand):
    rules = by_hand.rules(papers=(by_hand.paper(),))
    site = by_hand.with_permission(making.site(), by_hand.done())
    text = " ".join(page(told(site, rules, today=by_hand.TODAY)).split())
    assert "Every paper of the list is dated." in text
    assert "nothing here is its approval" in text


def test_rules_that_ask_for_nothing(making, by_hand):
    text = page(told(making.site(), by_hand.rules(), today=by_hand.TODAY))
    assert "Not ready" not in text
    assert "nothing here is its approval" in text


@pytest.mark.parametrize("width", [60, 80, 120])
def test_no_line_is_wider_than_the_page(site, county, by_hand, width):
    for authority in (county, replace(model_authority(), name="long " * 30)):
        lines = page(told(site, authority, today=by_hand.TODAY), width=width).splitlines()
        assert max(map(len, lines)) <= width


def test_metric(site, county, by_hand):
    text = page(told(site, county, today=by_hand.TODAY), system="metric")
    assert "(1,500 L, above 1,000 L)" in text
    assert "3.05 m" in text
