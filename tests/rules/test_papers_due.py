"""Papers before, on and after their day; intervals from the first day of use. Days by hand."""

from datetime import date

import pytest

from eavewell.rules.judged import judge
from eavewell.rules.papers import judge_paper
from eavewell.site.authority import Inspection
from eavewell.site.tank_shape import UprightCylinder

BUY = date(2027, 3, 8)


@pytest.mark.parametrize(
    ("bought", "given", "state"),
    [
        (BUY, date(2027, 3, 1), "done"),
        (BUY, BUY, "done"),
        (BUY, date(2027, 3, 9), "too late"),
        (BUY, None, "overdue"),
        (date(2027, 3, 20), None, "open"),
        (date(2027, 3, 20), date(2027, 3, 15), "planned"),  # and in time
        (date(2027, 3, 20), date(2027, 3, 25), "too late"),  # planned, and too late
        (None, None, "open"),
        (None, date(2027, 3, 1), "done"),
    ],
)
def test_a_pre_approval_against_the_purchase(by_hand, bought, given, state):
    """On 10 March 2027."""
    has = by_hand.permission(by_hand.done(day=given), purchase=bought)
    found = judge_paper(by_hand.paper(), has, today=by_hand.TODAY)
    assert found.state == state
    assert found.due == bought


@pytest.mark.parametrize(
    ("when", "due"),
    [
        ("before purchase", date(2027, 1, 1)),
        ("before building", date(2027, 2, 1)),
        ("before covering", date(2027, 5, 1)),
        ("before use", date(2027, 5, 1)),
        ("each year", date(2027, 5, 1)),
    ],
)
def test_each_paper_has_its_day(by_hand, when, due):
    has = by_hand.permission(
        purchase=date(2027, 1, 1), building=date(2027, 2, 1), use=date(2027, 5, 1)
    )
    assert judge_paper(by_hand.paper(when=when), has, today=by_hand.TODAY).due == due


@pytest.mark.parametrize(
    ("given", "state"),
    [
        (date(2026, 3, 11), "done"),  # due again on 11 March 2027
        (date(2026, 3, 10), "done"),  # due today
        (date(2026, 3, 9), "overdue"),
        (date(2027, 3, 12), "planned"),
        (None, "overdue"),
    ],
)
def test_a_yearly_paper(by_hand, given, state):
    has = by_hand.permission(by_hand.done("backflow test", given), use=date(2025, 1, 1))
    asked = by_hand.paper("backflow test", "each year")
    assert judge_paper(asked, has, today=by_hand.TODAY).state == state


def test_who_gave_it_stands_before_who_is_asked(by_hand):
    asked = by_hand.paper(who="county")
    assert judge_paper(asked, by_hand.permission(), today=by_hand.TODAY).by == "county"
    has = by_hand.permission(by_hand.done(by="Window 4"))
    assert judge_paper(asked, has, today=by_hand.TODAY).by == "Window 4"


def test_papers_hang_on_uses_and_triggers(making, by_hand):
    rules = by_hand.rules(
        triggers=(by_hand.trigger("height over width", "slender", above=2.0),),
        papers=(
            by_hand.paper("always"),
            by_hand.paper("drinkers", end_uses=("drinking",)),
            by_hand.paper("indoors", end_uses=("drinking", "indoor")),
            by_hand.paper("letter", triggers=("slender",)),
        ),
    )

    def states(tank):
        site = by_hand.with_permission(making.site(tanks=(tank,)))
        found = judge(site, rules, today=by_hand.TODAY).papers
        return {one.asked.name: one.state for one in found}

    always = {"always": "open", "indoors": "open"}
    assert states(making.tank(9.0)) == always | {"letter": "perhaps"}
    assert states(making.tank(None, shape=UprightCylinder(1.0, 3.0))) == always | {"letter": "open"}
    assert states(making.tank(None, shape=UprightCylinder(1.0, 1.0))) == always


def test_a_paper_that_nobody_asks_for_is_not_lost(making, by_hand):
    rules = by_hand.rules(
        triggers=(by_hand.trigger(above=1e6),), papers=(by_hand.paper(triggers=("large",)),)
    )
    site = by_hand.with_permission(making.site(), by_hand.done(), by_hand.done("a photograph"))
    found = judge(site, rules, today=by_hand.TODAY)
    assert found.papers == ()
    assert [one.name for one in found.unasked] == ["pre-approval", "a photograph"]


@pytest.mark.parametrize(
    ("use", "following"),
    [
        (date(2027, 3, 1), date(2027, 5, 30)),  # 90 days on: 30 left of March, April 30, May 30
        (date(2026, 12, 10), date(2027, 3, 10)),  # 21 + 31 + 28 + 10 = 90: due today
        (date(2026, 12, 9), date(2027, 6, 7)),  # 90 were up yesterday; 180 from then on
        (date(2027, 6, 1), date(2027, 8, 30)),  # not used yet
        (None, None),
    ],
)
def test_the_next_look(making, by_hand, use, following):
    every = (Inspection("screens", 90.0, by_hand.WRITTEN),)
    drunk = (Inspection("water", 90.0, by_hand.WRITTEN, end_uses=("drinking",)),)
    site = by_hand.with_permission(making.site(), use=use)
    found = judge(site, by_hand.rules(inspections=every + drunk), today=by_hand.TODAY).due
    assert [(one.inspection.what, one.day) for one in found] == [("screens", following)]


def test_setbacks_of_every_tank(making, by_hand):
    near = making.tank(name="near", distances=(("building", 2.0),))
    at = making.tank(name="at", distances=(("building", 3.0),))
    unknown = making.tank(name="unknown", distances=(("property line", 9.0),))
    sump = making.tank(name="sump", is_sump=True)
    site = making.site(tanks=(near, at, unknown, sump))
    found = judge(site, by_hand.rules(setbacks=(by_hand.setback(),)), today=by_hand.TODAY)
    assert [one.is_kept for one in found.spacings] == [False, True, None]
    assert not found.is_ready
