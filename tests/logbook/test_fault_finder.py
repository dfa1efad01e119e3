"""The fault finder: weights by arithmetic in the test, signs of invented logs."""

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import jsonschema
import pytest

from eavewell.answers.schema import schema
from eavewell.faults import EavewellFault
from eavewell.logbook.faults.fault_answers import causes_of, fault_answer, log_signs
from eavewell.logbook.faults.fault_signs import signs_in, signs_of
from eavewell.logbook.faults.faults_found import Sign, narrowed, symptom_named
from eavewell.logbook.leaks import leak_findings
from eavewell.logbook.upkeep.care import care_without_rain
from eavewell.logbook.upkeep.service import due_of
from eavewell.logbook.upkeep.serviced import serviced
from eavewell.papers.fault_causes import Cause
from eavewell.report.faults import faults_page
from eavewell.site.barrier import Lamp
from eavewell.site.entry import Done, Load, Outage, Reading
from eavewell.site.entry import Tested as Entered
from eavewell.site.finding import Finding
from eavewell.site.gauge import Gauge, Log
from eavewell.site.line import InLine, Line
from eavewell.site.outlet import Outlet
from eavewell.site.permission import Permission
from eavewell.site.pipe import Pipe
from eavewell.site.water import WaterTest
from eavewell.tables import rows
from eavewell.terminal.printed import on_paper

NOW, DAY = datetime(2027, 6, 1, 18, tzinfo=UTC), date(2027, 6, 1)
SYMPTOM = "The tank falls faster than it should"


# signs that are no care done or left undone
SEEN = {
    *("power is out", "lamp is out", "lamp was out", "lamp is old"),
    *("level under the cut-off", "level over the cut-off", "level is low"),
    *("cartridge is full", "cartridge is clear", "little rain fell", "much rain fell"),
    *("more is used than planned", "no more is used than planned"),
    *("a load came lately", "a test found germs"),
}


def at(month, day, hour=18):
    return datetime(2027, month, day, hour, tzinfo=UTC)


def causes(*ranks, symptom=SYMPTOM):
    return tuple(
        Cause(symptom, rank, rank, "tank", ("tank",), f"cause {rank}", f"check {rank}", ("so",))
        for rank in ranks
    )


def shares(found):
    return {one.cause.rank: one.share for one in found.causes}


def test_the_likeliest_is_looked_at_first():
    # 1, 1/2 and 1/3 are 11/6 in all
    found = narrowed(causes(1, 2, 3))
    assert shares(found) == pytest.approx({1: 6 / 11, 2: 3 / 11, 3: 2 / 11})
    assert found.next.cause.rank == 1


def test_yes_rules_out_and_the_rest_share_what_is_left():
    found = narrowed(causes(1, 2, 3), answers={1: "yes"})
    # 1/2 and 1/3 are 5/6
    assert shares(found) == pytest.approx({1: 0.0, 2: 3 / 5, 3: 2 / 5})
    assert found.next.cause.rank == 2
    assert found.causes[-1].state == "ruled out"


def test_no_finds_the_cause_and_the_next_is_still_told():
    found = narrowed(causes(1, 2, 3), answers={1: "yes", 3: "no"})
    assert [one.cause.rank for one in found.found] == [3]
    assert found.causes[0].cause.rank == 3
    assert found.next.cause.rank == 2


def test_what_cannot_be_told_is_asked_after_the_rest():
    found = narrowed(causes(1, 2, 3), answers={1: "cannot tell"})
    # half of 1, 1/2, 1/3: the first two weigh alike
    assert shares(found) == pytest.approx({1: 3 / 8, 2: 3 / 8, 3: 2 / 8})
    assert found.next.cause.rank == 2
    found = narrowed(causes(1, 2, 3), answers={1: "cannot tell", 2: "yes", 3: "yes"})
    assert (found.next.cause.rank, found.next.share) == (1, 1.0)
    found = narrowed(causes(1, 2), answers={1: "yes", 2: "yes"})
    assert found.next is None
    assert not found.is_open


def test_a_sign_in_the_log_turns_the_order():
    # as planned: cause 1 a third, cause 2 three halves, of 11/6 in all
    planned = Sign("no more is used than planned", "the meter counted what was planned")
    found = narrowed(causes(1, 2), signs=[planned])
    assert shares(found) == pytest.approx({1: 2 / 11, 2: 9 / 11})
    assert found.next.cause.rank == 2
    first = next(one for one in found.causes if one.cause.rank == 1)
    assert first.signs == ("Less likely: the meter counted what was planned.",)


def test_the_same_answers_give_the_same_and_in_any_order():
    signs = [Sign("more is used than planned", "a"), Sign("no more is used than planned", "b")]
    one = narrowed(causes(1, 2, 3), answers={1: "yes", 2: "cannot tell"}, signs=signs)
    two = narrowed(causes(1, 2, 3), answers={2: "cannot tell", 1: "yes"}, signs=signs[::-1])
    assert shares(one) == pytest.approx(shares(two))
    assert one.next.cause == two.next.cause


def test_causes_are_answered_by_the_number_of_the_fault_page():
    # of ranks 2 and 5 the page prints 1 and 2: 1/2 and 1/5 are 7/10
    one, two = (replace(cause, number=at) for at, cause in enumerate(causes(2, 5), 1))
    found = narrowed((one, two), answers={2: "yes"})
    assert [left.cause.rank for left in found.causes if left.state == "ruled out"] == [5]
    assert shares(narrowed((one, two))) == pytest.approx({2: 5 / 7, 5: 2 / 7})


def test_an_answer_to_no_cause_is_refused():
    with pytest.raises(EavewellFault, match=r"no cause 7 here; there are 1, 2"):
        narrowed(causes(1, 2), answers={7: "yes"})


def test_a_symptom_is_meant_by_some_of_its_words():
    known = ["No water at any tap", "Little water at one tap", "Little water at every tap"]
    assert symptom_named("no water", known) == known[0]
    assert symptom_named("EVERY little", known) == known[2]
    assert symptom_named("2", known) == known[1]
    with pytest.raises(EavewellFault, match="several symptoms are meant"):
        symptom_named("little", known)
    with pytest.raises(EavewellFault, match=r"no symptom is meant\. Say one of: 1 No water"):
        symptom_named("smell", known)


def test_every_sign_turns_a_cause_that_there_is_and_can_be_seen():
    there = {(row["symptom"], row["rank"]) for row in rows("faults")}
    tasks = {row["task"] for row in rows("upkeep_tasks")} | {"flush and disinfect"}
    codes = Path(leak_findings.__file__).read_text(encoding="utf-8")
    for row in rows("fault_signs"):
        assert (row["symptom"], row["rank"]) in there
        assert row["turns"] in ("raises", "lowers")
        kind, _, task = row["sign"].partition(" ")
        if kind in ("overdue", "lately"):
            assert task in tasks
        elif kind == "finding":
            assert f'"{task}"' in codes
        else:
            assert row["sign"] in SEEN


LINE = Line(
    "house",
    "tank",
    Pipe(20.9, 10.0),
    dry_run_m=0.3,
    outlets=(Outlet("kitchen", "kitchen sink"),),
    in_line=(
        InLine("meter", "meter", 0.3, 1.0, 1.0),
        InLine("5 micron", "filter", 0.3, 1.0, 5.0),
        InLine("lamp", "lamp", 0.3, 1.0, 1.0, works=Lamp(life_h=1000.0)),
    ),
)
GAUGES = (
    Gauge("house meter", "meter", "house", "register"),
    Gauge("filter gauge", "filter loss", "5 micron", "pressure gauge"),
)


@pytest.fixture
def seen(making, keeping):
    def read(*entries, planned=None):
        site = making.site(uses=(making.use(end_use="drinking"),), lines=(LINE,))
        site = replace(
            site,
            log=Log(zone="America/Chicago", gauges=GAUGES),
            permission=Permission(use=date(2027, 1, 1)),
        )
        log = serviced(care_without_rain(site), keeping.InMemory(entries), now=NOW)
        return {
            one.kind: one.says for one in signs_of(log, due_of(log), planned_l_day=planned or {})
        }

    return read


def test_outages_that_last(seen):
    found = seen(Outage("power", at(5, 31)), Outage("lamp", at(5, 1), at(5, 2)))
    assert found["power is out"] == "by the log power has been out since 31 May 2027"
    assert "lamp is out" not in found
    assert "lamp was out" in found


def test_levels_against_the_cut_off(seen):
    # 0.3 m above the floor the pump is stopped
    assert "level under the cut-off" in seen(Reading("tank", at(5, 31), 0.25))
    assert "level over the cut-off" in seen(Reading("tank", at(5, 31), 0.8))
    # a reading of a month ago says nothing
    assert not [kind for kind in seen(Reading("tank", at(4, 1), 0.25)) if "cut-off" in kind]


def test_what_a_cartridge_takes(seen):
    assert "cartridge is full" in seen(Reading("filter gauge", at(5, 31), 5.0))
    # clean 1 and full 5: up to 3 it is clear
    assert "cartridge is clear" in seen(Reading("filter gauge", at(5, 31), 2.9))
    assert not [k for k in seen(Reading("filter gauge", at(5, 31), 3.5)) if "cartridge is" in k]


def mornings(fell):
    """The gauge emptied each morning at 7: what fell on a day is read on the next."""
    return [Reading("rain", at(5, day, 12), fell.get(day - 1, 0.0)) for day in range(2, 32)]


def test_rain_of_the_week(seen):
    # the week is 26 May to 1 June: 5 mm at most are little, 15 mm much
    assert "little rain fell" in seen(*mornings({28: 4.0, 25: 50.0}))
    assert "much rain fell" in seen(*mornings({28: 9.0, 29: 9.0}))
    assert not [kind for kind in seen(*mornings({28: 9.0})) if "rain fell" in kind]
    # a gauge that nobody read this week says nothing
    assert not [kind for kind in seen(*mornings({})[:15]) if "rain fell" in kind]


def test_use_against_the_plan(seen):
    # 100 L a day for ten days
    flow = [Reading("house meter", at(5, 21), 500.0), Reading("house meter", at(5, 31), 1500.0)]
    assert "more is used than planned" in seen(*flow, planned={"house": 80.0})
    assert "no more is used than planned" in seen(*flow, planned={"house": 90.0})
    assert not [kind for kind in seen(*flow) if "planned" in kind]


def test_care_loads_and_tests(seen):
    germs = WaterTest("E. coli", 3.0, date(2027, 5, 30))
    found = seen(
        Done("look at the tank", at(5, 30)),
        Load("tank", at(5, 20), at(5, 25), 7000.0),
        Entered(at(5, 30), germs),
        Reading("tank", at(4, 1), 1.0),
    )
    assert found["lately look at the tank"].endswith("done on 30 May 2027")
    assert found["a load came lately"] == "a load came into tank on 25 May 2027"
    assert "a test found germs" in found
    # due on 8 April, 54 days before 1 June
    assert found["overdue read the level"] == "read the level (tank): 54 days over its day"


@pytest.fixture(scope="module")
def house(set_papers):
    return set_papers.example("whole-house")


def test_the_finder_of_an_example_keeps_its_layout(house):
    plain = fault_answer(house, day=DAY)
    jsonschema.validate(plain, schema("faults"))
    assert "No water at any tap" in plain["symptoms"]
    for at_most, symptom in enumerate(plain["symptoms"], 1):
        found = fault_answer(house, str(at_most), day=DAY)
        jsonschema.validate(found, schema("faults"))
        assert found["symptom"] == symptom
        assert sum(one["share"] for one in found["causes"]) == pytest.approx(1.0)


def test_the_page_expects_this_design_s_numbers(house):
    signs = (Sign("power is out", "by the log power has been out since 31 May 2027"),)
    plain = fault_answer(house, "no water", answers={2: "yes"}, signs=signs, day=DAY)
    text = " ".join(on_paper(faults_page(plain)).split())
    assert "Look next" in text
    assert "Switch, breaker and ground-fault button of the pump" in text
    assert "More likely: by the log power has been out since 31 May 2027." in text
    assert "ruled out" in text
    # the cut-in of the example
    assert "40 psi" in str(causes_of(house)["No water at any tap"])


def test_the_list_of_symptoms(house):
    text = on_paper(faults_page(fault_answer(house, day=DAY)))
    assert "1.  No water at any tap" in text


def test_a_leak_test_is_a_sign():
    leak = Finding("leak", "fix", "tank 'main'", "The level fell by 40 L/day more than it should.")
    none = Finding("no-leak-seen", "note", "tank 'main'", "No leak over 10 L/day.")
    # cause 2 weighs a half, times 3 of a leak, or a third of it
    assert shares(narrowed(causes(1, 2), signs=signs_in([leak]))) == pytest.approx(
        {1: 2 / 5, 2: 3 / 5}
    )
    assert shares(narrowed(causes(1, 2), signs=signs_in([none]))) == pytest.approx(
        {1: 6 / 7, 2: 1 / 7}
    )


def test_signs_of_a_log_with_the_design_s_plan(making, keeping, set_papers):
    site = making.site()
    log = serviced(care_without_rain(site), keeping.InMemory(), now=NOW)
    assert log_signs(set_papers.of_site(making, site), log) == ()
