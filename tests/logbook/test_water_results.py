"""Water tests of file and log against limits; days counted by hand, everything invented."""

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from eavewell.logbook.upkeep.care import care_without_rain
from eavewell.logbook.upkeep.noted import noted
from eavewell.logbook.upkeep.results import all_tests, results, with_all_tests
from eavewell.site.entry import Done
from eavewell.site.entry import Tested as Entered
from eavewell.site.water import Water, WaterTest

DAY = date(2027, 6, 1)


def coli(value, day, **fields):
    return WaterTest("E. coli", value, day, **fields)


@pytest.fixture
def judged(making, keeping):
    """Results of a drinking site with tests in its file and entries in its log."""

    def judge(*entries, file=(), day=DAY):
        site = making.site(uses=(making.use(end_use="drinking"),), water=Water(tests=tuple(file)))
        log = noted(keeping.InMemory(entries), zone="America/Chicago")
        return results(care_without_rain(site), log, day=day)

    return judge


def entered(value, month, number, of="E. coli", **fields):
    at = datetime(2027, month, number, 18, tzinfo=UTC)
    return Entered(at, WaterTest(of, value, at.date(), **fields))


def one_of(found, of="E. coli"):
    return next(one for one in found.found if one.plan.of == of)


def test_a_pass_holds_until_its_day_and_then_expires(judged):
    found = one_of(judged(entered(0.0, 5, 4)))
    # 90 days from 4 May: 27 of May, 30 of June, 31 of July, 2 of August
    assert (found.result.state, found.expires) == ("no failure found", date(2027, 8, 2))
    assert (found.retest, found.clear_left, found.today) == (date(2027, 8, 2), 0, "")
    later = one_of(judged(entered(0.0, 5, 4), day=date(2027, 8, 3)))
    assert later.result.state == "expired"
    assert later.expires == date(2027, 8, 2)


def test_germs_hold_the_water_back_until_two_clear_tests(judged):
    failed = one_of(judged(entered(3.0, 5, 4)))
    assert failed.holds_back
    assert failed.today.startswith("stop drinking it: boil it")
    assert "two clear tests" in failed.mend
    assert failed.tell == "health department"
    assert (failed.clear_left, failed.retest) == (2, None)


def test_after_disinfecting_the_sample_waits_a_week(judged):
    disinfected = Done("flush and disinfect", datetime(2027, 5, 6, 15, tzinfo=UTC))
    assert one_of(judged(entered(3.0, 5, 4), disinfected)).retest == date(2027, 5, 13)
    # what was disinfected before the failure does not count
    early = replace(disinfected, at=datetime(2027, 5, 1, 15, tzinfo=UTC))
    assert one_of(judged(entered(3.0, 5, 4), early)).retest is None
    # nor does what was only put off
    put_off = replace(disinfected, until=datetime(2027, 5, 20, tzinfo=UTC))
    assert one_of(judged(entered(3.0, 5, 4), put_off)).retest is None


def test_the_second_clear_test_is_taken_on_another_day(judged):
    once = one_of(judged(entered(3.0, 5, 4), entered(0.0, 5, 14)))
    assert once.result.state == "one more clear test"
    assert (once.clear_left, once.retest) == (1, date(2027, 5, 15))
    assert once.holds_back
    twice = one_of(judged(entered(3.0, 5, 4), entered(0.0, 5, 14), entered(0.0, 5, 15)))
    assert (twice.result.state, twice.clear_left, twice.holds_back) == (
        "no failure found",
        0,
        False,
    )


def test_metal_is_tested_again_as_soon_as_it_is_mended(judged):
    found = one_of(judged(entered(0.02, 5, 4, of="lead")), "lead")
    assert (found.clear_left, found.retest) == (1, DAY)
    assert "boiling does not help" in found.today


def test_file_and_log_are_one_list_without_repeats(making, keeping):
    file = (coli(0.0, date(2027, 5, 4)), coli(0.0, date(2027, 2, 1), tap="barn"))
    site = making.site(uses=(making.use(end_use="drinking"),), water=Water(tests=file))
    log = noted(
        keeping.InMemory(
            [
                entered(0.0, 5, 4, tap="kitchen", laboratory="county"),
                entered(0.0, 5, 4, tap="bath"),
                entered(1.0, 5, 4, below=True),
                entered(7.0, 5, 4, of="unheard of"),
            ]
        )
    )
    found = all_tests(site, log)
    assert with_all_tests(site, log).water.tests == found
    assert sorted((one.day.month, one.tap, one.value, one.below) for one in found) == [
        (2, "barn", 0.0, False),
        (5, "", 1.0, True),
        (5, "bath", 0.0, False),
        (5, "kitchen", 0.0, False),
    ]
    assert {one.laboratory for one in found if one.tap == "kitchen"} == {"county"}


def test_what_no_class_asks_for_stands_beside(judged):
    found = judged(entered(120.0, 5, 4, of="hardness"), entered(0.0, 7, 1))
    assert [one.of for one in found.beside] == ["hardness"]
    # a result of a later day is not known yet
    assert one_of(found).result.state == "open"
