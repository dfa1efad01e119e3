"""Plans and results of water tests; limits as the tables print them, days counted by hand."""

from dataclasses import replace
from datetime import date

import pytest

from eavewell.site.authority import Authority, Sourced, WaterLimit
from eavewell.site.water import Water, WaterTest
from eavewell.tables import rows
from eavewell.treatment.classes import CASES, fit_for_use
from eavewell.treatment.water_tests import action_of, known_tests
from eavewell.treatment.water_tests import test_water as judge

DAY = date(2027, 6, 1)


@pytest.fixture
def place(making):
    def build(*tests, end_use="drinking", **fields):
        use = making.use(end_use=end_use, **fields)
        return making.site(uses=(use,), water=Water(tests=tests))

    return build


def results(site, today=DAY):
    return judge(site, fit_for_use(site), today=today).results


def state(site, of, today=DAY):
    return next(one for one in results(site, today) if one.plan.of == of)


def coli(value, day, **fields):
    return WaterTest("E. coli", value, day, **fields)


def test_drinking_asks_for_germs_every_quarter_and_lead_every_year(place):
    plan = {one.plan.of: one.plan for one in results(place())}
    # potable: coliform 0 and turbidity below 1 NTU every 3 months; lead 10 ug/L
    assert (plan["total coliform"].most, plan["total coliform"].every_days) == (0.0, 90.0)
    assert (plan["turbidity"].most, plan["turbidity"].every_days) == (1.0, 90.0)
    assert plan["lead"].most == pytest.approx(0.010)
    assert (plan["pH"].least, plan["pH"].most) == (6.5, 8.5)


def test_indoor_water_may_hold_what_the_code_lets_it(place):
    # total coliform below 500, fecal below 100 CFU/100 mL, each year
    plan = {one.plan.of: one.plan for one in results(place(end_use="indoor"))}
    assert plan["total coliform"].most == 500.0
    assert plan["fecal coliform"].most == 100.0
    assert {one.every_days for one in plan.values()} == {365.0}


def test_the_authority_puts_its_limit_in_place_and_leaves_the_rest(place):
    written = Sourced("Invented rules", "paragraph 3")
    limits = (
        WaterLimit("pH", "drinking", 9.0, None, written),
        WaterLimit("lead", "drinking", 0.005, 30.0, written),
    )
    rules = Authority("Invented County", "2026", limits=limits)
    site = place(WaterTest("pH", 6.0, DAY))
    found = judge(site, fit_for_use(site), authority=rules, today=DAY).results
    plan = {one.plan.of: one.plan for one in found}
    # the table's least and year stay where the authority states none
    assert (plan["pH"].least, plan["pH"].most, plan["pH"].every_days) == (6.5, 9.0, 365.0)
    assert (plan["lead"].most, plan["lead"].every_days) == (0.005, 30.0)
    assert plan["lead"].source == "Invented rules, paragraph 3"
    assert next(one.state for one in found if one.plan.of == "pH") == "failed"


def test_nothing_found_is_open_and_due_today(place):
    one = state(place(), "E. coli")
    assert (one.state, one.latest, one.due) == ("open", None, DAY)


def test_a_pass_expires_after_its_days(place):
    site = place(coli(0.0, date(2027, 3, 3)))
    # 3 March and 90 days is 1 June
    assert state(site, "E. coli").due == date(2027, 6, 1)
    assert state(site, "E. coli").state == "no failure found"
    assert state(site, "E. coli", today=date(2027, 6, 2)).state == "expired"


def test_one_clear_test_after_a_failure_is_not_enough(place):
    failed, clear, again = (
        coli(3.0, date(2027, 5, 1)),
        coli(0.0, date(2027, 5, 10)),
        coli(0.0, date(2027, 5, 20)),
    )
    assert state(place(failed), "E. coli").state == "failed"
    assert state(place(failed), "E. coli").due == DAY
    assert state(place(clear, failed), "E. coli").state == "one more clear test"
    assert state(place(failed, again, clear), "E. coli").state == "no failure found"


def test_two_clear_tests_are_of_two_days_and_both_prove_something(place):
    failed = coli(3.0, date(2027, 5, 1))
    twice = (coli(0.0, date(2027, 5, 10), tap="sink"), coli(0.0, date(2027, 5, 10), tap="bath"))
    assert state(place(failed, *twice), "E. coli").state == "one more clear test"
    blind = coli(10.0, date(2027, 5, 10), below=True)
    clear = coli(0.0, date(2027, 5, 20))
    assert state(place(failed, blind, clear), "E. coli").state == "one more clear test"
    last = coli(0.0, date(2027, 5, 25))
    assert state(place(failed, blind, clear, last), "E. coli").state == "no failure found"


def test_neither_time_nor_a_test_that_proves_nothing_ends_a_failure(place):
    failed, clear = coli(2.0, date(2027, 1, 10)), coli(0.0, date(2027, 1, 20))
    later = date(2028, 1, 1)
    assert state(place(failed, clear), "E. coli", today=later).state == "one more clear test"
    blind = coli(10.0, date(2027, 1, 20), below=True)
    found = state(place(failed, blind), "E. coli", today=later)
    assert (found.state, found.latest) == ("failed", failed)
    both = (clear, coli(0.0, date(2027, 1, 27)))
    assert state(place(failed, *both), "E. coli", today=later).state == "expired"


@pytest.mark.parametrize("turned", [False, True])
def test_a_clear_tap_does_not_clear_another_of_the_same_day(place, turned):
    tests = [WaterTest("lead", mg_l, date(2027, 5, 9)) for mg_l in (0.02, 0.004)]
    one = state(place(*(reversed(tests) if turned else tests)), "lead")
    assert (one.state, one.latest.value) == ("failed", 0.02)


def test_a_result_of_a_day_to_come_is_none(place):
    assert state(place(coli(0.0, date(2027, 6, 2))), "E. coli").state == "open"


def test_zinc_is_asked_for_by_a_roof_and_has_its_limit(place, making):
    # 40 CFR 143.3: zinc 5 mg/L
    painted, zinc = (
        replace(place(WaterTest("zinc", 5.1, DAY)), roofs=(replace(making.roof(), finish=finish),))
        for finish in ("painted steel", "galvanised steel")
    )
    assert "zinc" not in {one.plan.of for one in results(painted)}
    assert state(zinc, "zinc").plan.most == 5.0
    assert state(zinc, "zinc").state == "failed"


def test_metal_is_cleared_by_one_test(place):
    lead = [WaterTest("lead", mg_l, date(2027, 5, at)) for at, mg_l in ((1, 0.02), (9, 0.004))]
    assert state(place(lead[0]), "lead").state == "failed"
    assert state(place(*lead), "lead").state == "no failure found"


@pytest.mark.parametrize(
    ("value", "says"),
    [(1.0, "no failure found"), (10.0, "proves nothing"), (2.0, "proves nothing")],
)
def test_less_than_what_the_laboratory_can_see(place, value, says):
    # less than 1 germ is none; less than 10 may be nine
    assert state(place(coli(value, DAY, below=True)), "E. coli").state == says


def test_both_ends_of_ph(place):
    for ph, says in ((6.4, "failed"), (6.5, "no failure found"), (8.6, "failed")):
        assert state(place(WaterTest("pH", ph, DAY)), "pH").state == says
    for ph, says in ((6.0, "failed"), (7.0, "proves nothing")):
        assert state(place(WaterTest("pH", ph, DAY, below=True)), "pH").state == says


def test_marked_cases_ask_for_their_own(place):
    found = results(place(end_use="outdoor", spray=True))
    assert {one.plan.end_use for one in found} == {"spray"}
    assert not results(place(end_use="outdoor"))


def test_the_tables_fit_together():
    known = known_tests()
    assert {row["of"] for row in rows("water_limits")} <= set(known)
    roof_tests = {name for row in rows("roof_fitness") for name in row["tests"].split("|") if name}
    assert roof_tests <= set(known)
    for kind in {row["kind"] for row in known.values()}:
        today, tell, mend = action_of(kind, "drinking")
        assert today
        assert "test again" in mend
        assert tell == ("" if kind == "sourness" else "health department")


@pytest.mark.parametrize("end_use", CASES)
def test_every_class_has_its_own_action_of_every_kind(end_use):
    for kind in {row["kind"] for row in known_tests().values()}:
        today, tell, mend = action_of(kind, end_use)
        assert today
        assert "test again" in mend
        if end_use != "drinking":
            assert "stop drinking" not in today
            assert "boil it" not in today
        if end_use == "animals":
            assert tell in ("", "veterinarian")
            assert "animals" in today or "young" in today or "veterinarian" in today
