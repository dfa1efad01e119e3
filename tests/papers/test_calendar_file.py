"""The calendar file: it parses, keeps its identities, and recurs rightly for two years."""

from collections import Counter
from copy import deepcopy
from datetime import date, datetime, timedelta
from itertools import pairwise

import icalendar
import pytest
import recurring_ical_events

from eavewell.papers.calendar_file import calendar_file

DAY = date(2027, 3, 10)
SAYS = "Open its cleanout; rinse it, \\ and see."


def task(kind="care", name="clean the gutters", **fields):
    usual = {
        "kind": kind,
        "task": name,
        "things": ["north eave", "south eave"],
        "says": SAYS,
        "every_days": 180,
        "yearly": False,
        "due": "2027-03-14",
        "source": "Invented rules, 7",
    }
    return usual | fields


@pytest.fixture
def plain():
    tasks = [
        task(),
        task(name="read the level", every_days=7, due="2027-03-13"),
        task("inspection", "the whole system", things=[], every_days=365, due="2027-06-01"),
        task("season", "opening for the season", every_days=None, yearly=True, due="2027-04-01"),
        task("water test", "water test, class drinking", things=["E. coli"], every_days=None),
    ]
    return {
        "site": 'Quailwater "hill"; house,\nold & new',
        "eavewell": "0.1.0",
        "treatment": {"upkeep": {"tasks": tasks}},
    }


def days_of(made, summary, *, first=DAY, years=2):
    calendar = icalendar.Calendar.from_ical(made)
    last = first + timedelta(days=365 * years)
    found = recurring_ical_events.of(calendar).between(first, last)
    return [one["DTSTART"].dt for one in found if str(one["SUMMARY"]).startswith(summary)]


def test_two_years_of_every_task(plain):
    made = calendar_file(plain, day=DAY)
    first = date(2027, 3, 14)
    assert days_of(made, "Clean the gutters") == [
        first + timedelta(days=180 * k) for k in range(5) if 180 * k <= 730 - 4 - 1
    ]
    weeks = days_of(made, "Read the level")
    assert weeks[0] == date(2027, 3, 13)
    # a week later over both changes of the clock, and never an hour
    assert {later - one for one, later in pairwise(weeks)} == {timedelta(days=7)}
    assert len(weeks) == (730 - 3 + 6) // 7
    assert days_of(made, "Inspection: the whole system") == [date(2027, 6, 1), date(2028, 5, 31)]
    assert days_of(made, "Opening for the season") == [date(2027, 4, 1), date(2028, 4, 1)]
    assert days_of(made, "Water test, class drinking: E. coli") == [first]
    assert not any(isinstance(one, datetime) for one in weeks)


def test_two_years_by_dates_counted_on_a_calendar(plain):
    made = calendar_file(plain, day=DAY)
    # 14 March 2027 and each 180 days: 17 days left in March, 30, 31, 30, 31, 31, 10 to September
    assert days_of(made, "Clean the gutters") == [
        date(2027, 3, 14),
        date(2027, 9, 10),
        date(2028, 3, 8),
        date(2028, 9, 4),
        date(2029, 3, 3),
    ]
    # Saturdays all: the 53rd and the 54th lie about 29 February 2028
    weeks = days_of(made, "Read the level")
    assert weeks[:3] == [date(2027, 3, 13), date(2027, 3, 20), date(2027, 3, 27)]
    assert {date(2028, 2, 26), date(2028, 3, 4)} <= set(weeks)
    assert date(2028, 2, 29) not in weeks
    assert {one.strftime("%a") for one in weeks} == {"Sat"}


def test_words_with_commas_and_line_ends_come_back(plain):
    event = icalendar.Calendar.from_ical(calendar_file(plain, day=DAY)).walk("VEVENT")[0]
    assert str(event["SUMMARY"]) == "Clean the gutters: north eave, south eave"
    assert str(event["DESCRIPTION"]).startswith(SAYS)
    assert 'Quailwater "hill"; house, old & new, Eavewell 0.1.0.' in str(event["DESCRIPTION"])


def test_a_run_of_another_day_keeps_every_identity(plain):
    one = calendar_file(plain, day=DAY)
    assert calendar_file(plain, day=DAY) == one
    later = calendar_file(plain, day=date(2027, 5, 1))
    uids = [
        [str(event["UID"]) for event in icalendar.Calendar.from_ical(made).walk("VEVENT")]
        for made in (one, later)
    ]
    assert uids[0] == uids[1]
    stamp = icalendar.Calendar.from_ical(later).walk("VEVENT")[0]["DTSTAMP"].dt
    assert stamp.date() == date(2027, 5, 1)


def test_tasks_alike_in_every_word_are_two_events(plain):
    twice = deepcopy(plain)
    twice["treatment"]["upkeep"]["tasks"].append(task())
    events = icalendar.Calendar.from_ical(calendar_file(twice, day=DAY)).walk("VEVENT")
    assert max(Counter(str(one["UID"]) for one in events).values()) == 1
    assert len(events) == 6


def test_reminders_come_in_time_and_not_for_daily_care(plain):
    events = icalendar.Calendar.from_ical(calendar_file(plain, day=DAY)).walk("VEVENT")
    alarms = {str(one["CATEGORIES"].cats[0]): one.walk("VALARM") for one in events}
    assert alarms["care"] == []
    assert alarms["season"][0]["TRIGGER"].dt == timedelta(days=-14)


def test_lines_are_folded_as_the_standard_asks(plain):
    made = calendar_file(plain, day=DAY)
    assert made.endswith(b"END:VCALENDAR\r\n")
    assert all(len(line) <= 75 for line in made.split(b"\r\n"))


def test_nothing_due_is_an_empty_calendar(plain):
    plain["treatment"]["upkeep"]["tasks"] = []
    assert icalendar.Calendar.from_ical(calendar_file(plain, day=DAY)).walk("VEVENT") == []
