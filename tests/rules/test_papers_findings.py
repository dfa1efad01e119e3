"""Findings on the rules of the place: each fires, stays silent, and its fix passes."""

import re
from dataclasses import replace
from datetime import date, timedelta

import pytest

from eavewell.files.authority import model_authority
from eavewell.findings.papers import papers_ready
from eavewell.rules.judged import judge
from eavewell.site.place import Place
from eavewell.site.tank_shape import UprightCylinder
from eavewell.units import read


@pytest.fixture
def found(by_hand):
    def by_code(site, authority):
        judged = judge(site, authority, today=by_hand.TODAY)
        codes = {}
        for one in papers_ready(site, judged):
            codes.setdefault(one.code, []).append(one)
        return codes

    return by_code


def test_every_finding_leaves_the_verdict_to_the_authority(making, by_hand, found):
    rules = by_hand.rules(
        triggers=(by_hand.trigger(above=1.0), by_hand.trigger("height over width", "t", above=2.0)),
        setbacks=(by_hand.setback(), by_hand.setback(to="well")),
        papers=(by_hand.paper(),),
    )
    tank = making.tank(distances=(("building", 1.0),))
    site = making.site(tanks=(tank,), permission=by_hand.permission(purchase=date(2027, 1, 1)))
    every = [one for many in found(site, rules).values() for one in many]
    assert {"rule-asks", "rule-not-checked", "setback-not-kept", "setback-unknown"} <= {
        one.code for one in every
    }
    for one in every:
        assert "The authority having jurisdiction decides." in one.says
        assert not re.search(r"\b(approved|legal|permitted)\b", one.says + one.fix)


def test_the_model_is_named_in_one_note(making, found):
    notes = found(making.site(tanks=(making.tank(9999.0),)), model_authority())
    (note,) = notes["model-rules"]
    assert note.level == "note"
    assert "Model rules, check yours with the authority having jurisdiction." in note.says
    assert "a permit for the rainwater system (all tanks together, use 'house')" in note.says
    assert set(notes) == {"model-rules", "not-ready"}
    assert notes["not-ready"][0].level == "note"
    assert "no paper of the list is dated yet" in notes["not-ready"][0].says


def test_own_rules_are_no_model(making, by_hand, found):
    assert "model-rules" not in found(making.site(), by_hand.rules())


def test_a_trigger_with_its_figures(making, by_hand, found):
    rules = by_hand.rules(triggers=(by_hand.trigger(above=1000.0),))
    site = by_hand.with_permission(making.site(tanks=(making.tank(1500.0),)))
    (one,) = found(site, rules)["rule-asks"]
    assert (one.level, one.measured, one.limit, one.unit) == ("watch", 1500.0, 1000.0, "L")
    assert one.source == "Invented County rules, section 1"
    assert "tank 'tank'" in one.says
    below = by_hand.with_permission(making.site(tanks=(making.tank(1000.0),)))
    assert "rule-asks" not in found(below, rules)


def test_an_unknown_shape_is_one_note_a_tank(making, by_hand, found):
    rules = by_hand.rules(triggers=(by_hand.trigger("height over width", above=2.0),))
    site = making.site(tanks=(making.tank(),))
    (one,) = found(site, rules)["rule-not-checked"]
    assert (one.level, one.where) == ("note", "tank 'tank'")
    assert one.says.startswith("Not checked: height over width unknown.")
    assert one.measured is None
    known = replace(site.tanks[0], shape=UprightCylinder(1.0, 1.0))
    assert "rule-not-checked" not in found(replace(site, tanks=(known,)), rules)


@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize("known_m", [0.0, 0.731, 2.9999])
def test_a_tank_too_near_is_told_how_much_farther(making, by_hand, found, system, known_m):
    rules = by_hand.rules(setbacks=(by_hand.setback(3.0),))
    tank = making.tank(distances=(("building", known_m),))
    site = making.site(tanks=(tank,), place=Place(30.0, -98.0, 400.0, show=system))
    (one,) = found(site, rules)["setback-not-kept"]
    assert (one.level, one.measured, one.limit, one.unit) == ("fix", known_m, 3.0, "m")
    farther_m = read(re.search(r"move it (.+) farther", one.fix)[1], "length")
    moved = replace(tank, distances=(("building", known_m + farther_m),))
    assert "setback-not-kept" not in found(replace(site, tanks=(moved,)), rules)


def test_an_unknown_distance_is_one_note_a_tank(making, by_hand, found):
    rules = by_hand.rules(setbacks=(by_hand.setback(), by_hand.setback(to="well")))
    tanks = (making.tank(name="a"), making.tank(name="b", distances=(("building", 9.0),)))
    site = by_hand.with_permission(making.site(tanks=tanks))
    first, second = found(site, rules)["setback-unknown"]
    assert first.says.startswith("Not checked: distance to building, well unknown.")
    assert second.says.startswith("Not checked: distance to well unknown.")
    assert (first.where, second.where) == ("tank 'a'", "tank 'b'")


def test_a_site_that_tells_no_distance_is_not_flooded(making, found):
    assert "setback-unknown" not in found(making.site(), model_authority())


def test_a_setback_of_something_else_is_not_lost(making, by_hand, found):
    rules = by_hand.rules(setbacks=(replace(by_hand.setback(), of="drain field"),))
    (one,) = found(making.site(), rules)["setback-unknown"]
    assert "drain field to building" in one.says


def test_bought_before_the_approval(making, by_hand, found):
    """Bought on 1 March, given on 6 March: five days late, and past mending by a date."""
    rules = by_hand.rules(papers=(by_hand.paper(),))
    bought, given = date(2027, 3, 1), date(2027, 3, 6)
    site = by_hand.with_permission(making.site(), by_hand.done(day=given), purchase=bought)
    (one,) = found(site, rules)["bought-before-approval"]
    assert (one.level, one.measured, one.limit, one.unit) == ("fix", 5.0, 0.0, "days late")
    assert "a rebate often does not pay" in one.says
    assert "in writing" in one.fix
    in_time = by_hand.with_permission(making.site(), by_hand.done(day=bought), purchase=bought)
    assert set(found(in_time, rules)) == {"papers-complete"}


def test_bought_and_no_approval_at_all(making, by_hand, found):
    """Nine days from 1 to 10 March."""
    site = by_hand.with_permission(making.site(), purchase=date(2027, 3, 1))
    (one,) = found(site, by_hand.rules(papers=(by_hand.paper(),)))["bought-before-approval"]
    assert one.measured == 9.0
    assert "not given" in one.says


@pytest.mark.parametrize(
    ("when", "day"), [("before purchase", "purchase"), ("before building", "building")]
)
def test_a_paper_planned_too_late_puts_off_the_step(making, by_hand, found, when, day):
    rules = by_hand.rules(papers=(by_hand.paper(when=when),))
    planned, step = date(2027, 5, 20), date(2027, 5, 1)
    site = by_hand.with_permission(making.site(), by_hand.done(day=planned), **{day: step})
    code = "bought-before-approval" if when == "before purchase" else "paper-late"
    (one,) = found(site, rules)[code]
    assert one.measured == 19.0
    put_off = date.fromisoformat(re.search(rf"put off the {day} to ([\d-]+)", one.fix)[1])
    moved = replace(site, permission=replace(site.permission, **{day: put_off}))
    assert code not in found(moved, rules)
    day_short = replace(moved.permission, **{day: put_off - timedelta(days=1)})
    assert code in found(replace(site, permission=day_short), rules)


def test_a_late_paper_is_got_and_dated(making, by_hand, found):
    rules = by_hand.rules(papers=(by_hand.paper("manual", "each year", who="designer"),))
    site = by_hand.with_permission(making.site(), use=date(2027, 3, 1))
    (one,) = found(site, rules)["paper-late"]
    assert one.fix.startswith("get it from designer and write its day")
    dated = by_hand.with_permission(
        making.site(), by_hand.done("manual", by_hand.TODAY), use=date(2027, 3, 1)
    )
    assert set(found(dated, rules)) == {"papers-complete"}


def test_not_ready_until_every_paper_is_dated(making, by_hand, found):
    papers = tuple(by_hand.paper(name, "before use") for name in ("plan", "manual", "leak test"))
    rules = by_hand.rules(papers=papers)
    site = by_hand.with_permission(making.site(), by_hand.done("plan"))
    (one,) = found(site, rules)["not-ready"]
    assert (one.level, one.measured, one.limit, one.unit) == ("watch", 1.0, 3.0, "papers")
    assert "open: manual, leak test" in one.says
    full = [by_hand.done(name) for name in ("plan", "manual", "leak test")]
    (one,) = found(by_hand.with_permission(making.site(), *full), rules)["papers-complete"]
    assert "that is no approval" in one.says


def test_a_broken_setback_leaves_a_full_list_not_ready(making, by_hand, found):
    rules = by_hand.rules(papers=(by_hand.paper(),), setbacks=(by_hand.setback(),))
    tank = making.tank(distances=(("building", 1.0),))
    site = by_hand.with_permission(making.site(tanks=(tank,)), by_hand.done())
    assert "a setback is not kept" in found(site, rules)["not-ready"][0].says


def test_no_list_no_word(making, by_hand, found):
    assert found(making.site(), by_hand.rules()) == {}


def test_a_paper_by_another_name_is_kept_and_hinted(making, by_hand, found):
    rules = by_hand.rules(papers=(by_hand.paper("site plan"),))
    site = by_hand.with_permission(making.site(), by_hand.done("siteplan"), by_hand.done("xyz"))
    hinted, other = found(site, rules)["paper-not-asked"]
    assert "Is 'site plan' meant?" in hinted.says
    assert "meant" not in other.says
