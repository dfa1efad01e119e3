"""Due list and water tests as plain data, on the page and as a calendar; everything invented."""

from dataclasses import replace
from datetime import UTC, date, datetime

import icalendar
import jsonschema
import pytest

from eavewell.answers.schema import schema
from eavewell.answers.shown import Sizes
from eavewell.logbook.upkeep.care import care_without_rain
from eavewell.logbook.upkeep.noted import noted
from eavewell.logbook.upkeep.results import results
from eavewell.logbook.upkeep.service import due
from eavewell.logbook.upkeep.service_answers import due_answer, due_calendar, results_answer
from eavewell.report.due import due_page
from eavewell.report.results import results_page
from eavewell.site.entry import Done
from eavewell.site.entry import Tested as Entered
from eavewell.site.gauge import Log
from eavewell.site.water import WaterTest
from eavewell.terminal.printed import on_paper

NOW = datetime(2027, 6, 1, 18, tzinfo=UTC)
DAY = date(2027, 6, 1)


def at(month, day):
    return datetime(2027, month, day, 18, tzinfo=UTC)


@pytest.fixture
def place(making):
    site = making.site(uses=(making.use(end_use="drinking"),))
    return replace(site, log=Log(zone="America/Chicago"))


@pytest.fixture
def listed(place, keeping):
    log = keeping.InMemory([Done("read the level", at(5, 10)), Done("look at the tank", at(5, 10))])
    return due_answer(place, due(care_without_rain(place), log, now=NOW), day=DAY)


@pytest.fixture
def tested(place, keeping):
    def build(*entries):
        log = noted(keeping.InMemory(entries), zone="America/Chicago")
        return results_answer(place, results(care_without_rain(place), log, day=DAY))

    return build


def coli(value, month, day):
    return Entered(at(month, day), WaterTest("E. coli", value, date(2027, month, day)))


def test_the_due_list_keeps_its_layout(listed):
    jsonschema.validate(listed, schema("due"))
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(listed | {"more": 1}, schema("due"))


def test_the_due_list_on_the_page(listed):
    text = on_paper(due_page(listed))
    over, ahead = text.index("Over its day"), text.index("Nov 2027")
    assert over < text.index("read the level") < ahead < text.index("look at the tank", over)
    assert "17 May 2027, 15 days ago" in text
    # told how while it is due soon, not months ahead
    assert "stick or sight tube" in text
    assert "no light inside" not in text


def test_the_calendar_shows_what_is_overdue_today(listed):
    events = icalendar.Calendar.from_ical(due_calendar(listed)).walk("VEVENT")
    by_name = {str(one["SUMMARY"]).split(":")[0]: one for one in events}
    assert by_name["Read the level"]["DTSTART"].dt == DAY
    assert by_name["Look at the tank"]["DTSTART"].dt == date(2027, 11, 6)
    assert "Last done on 10 May 2027." in str(by_name["Look at the tank"]["DESCRIPTION"])
    # the same task of the next day replaces it
    later = due_calendar(listed | {"day": "2027-06-02"})
    names = {str(one["UID"]) for one in icalendar.Calendar.from_ical(later).walk("VEVENT")}
    assert names == {str(one["UID"]) for one in events}


def test_results_keep_their_layout(tested):
    for entries in ((), (coli(3.0, 5, 4),), (coli(3.0, 5, 4), coli(0.0, 5, 20))):
        jsonschema.validate(tested(*entries), schema("results"))


def test_a_failure_says_what_is_done_today(tested):
    text = " ".join(on_paper(results_page(tested(coli(3.0, 5, 4)), Sizes("us"))).split())
    assert "water for drinking is held back" in text
    assert "stop drinking it: boil it" in text
    assert "Tell the health department." in text
    assert "2 clear tests still wanted." in text
    assert "Failed on 4 May 2027." in text


def test_a_pass_is_no_failure_found_on_its_day_and_expires(tested):
    text = " ".join(on_paper(results_page(tested(coli(0.0, 5, 4)), Sizes("us"))).split())
    assert "No failure found on 4 May 2027; expires on 2 Aug 2027." in text
    assert "held back" not in text
    assert "within 24 hours, cold" in text
