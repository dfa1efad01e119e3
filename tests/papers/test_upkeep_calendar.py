"""The calendar on paper: its days are those of the calendar file, every task is on it."""

import io
from dataclasses import replace
from datetime import date

import icalendar
import pytest
import recurring_ical_events
from pypdf import PdfReader

from eavewell.answers import answer
from eavewell.design import design
from eavewell.papers.calendar_file import calendar_file
from eavewell.papers.paper import Boxes, Ledger
from eavewell.papers.typeset import pdf
from eavewell.papers.upkeep_calendar import due_days, upkeep_calendar
from eavewell.site.calendar import Calendar
from eavewell.site.line import Line
from eavewell.site.pipe import Pipe
from eavewell.site.want import People

DAY = date(2026, 11, 25)
UNTIL = date(2027, 11, 30)


@pytest.fixture(scope="module")
def plain(making):
    """A place for the summer, with a line and a heater; invented rain."""
    people = People(2.0, 30.0, Calendar(seasons=(((5, 1), (9, 30)),)))
    use = replace(making.use(end_use="indoor"), wants=(people,))
    line = Line("house", "tank", Pipe(20.9, 10.0), heater=True)
    site = making.site(uses=(use,), lines=(line,))
    return answer(design(site, making.record(making.wet_and_dry(3)), today=DAY))


def task(**fields):
    return {"due": "2027-01-10", "every_days": None, "yearly": False} | fields


def test_days_counted_on_paper():
    assert due_days(task(), until=UNTIL) == [date(2027, 1, 10)]
    assert due_days(task(), until=date(2027, 1, 9)) == []
    # 90 days from 10 January: 10 April, 9 July, 7 October
    assert due_days(task(every_days=90), until=UNTIL) == [
        date(2027, 1, 10),
        date(2027, 4, 10),
        date(2027, 7, 9),
        date(2027, 10, 7),
    ]
    assert due_days(task(yearly=True), until=date(2028, 1, 10)) == [
        date(2027, 1, 10),
        date(2028, 1, 10),
    ]


def test_the_paper_and_the_file_name_the_same_days(plain):
    made = icalendar.Calendar.from_ical(calendar_file(plain, day=DAY))
    found = recurring_ical_events.of(made).between(DAY, date(2027, 12, 1))
    by_file = sorted(one["DTSTART"].dt for one in found)
    tasks = plain["treatment"]["upkeep"]["tasks"]
    by_paper = sorted(day for one in tasks for day in due_days(one, until=UNTIL))
    assert by_paper == by_file


def test_every_task_is_a_row_and_every_step_a_box(plain):
    paper = upkeep_calendar(plain, day=DAY, system="us")
    year = next(block for block in paper.blocks if isinstance(block, Ledger))
    tasks, steps = (plain["treatment"]["upkeep"][key] for key in ("tasks", "season"))
    assert len(year.rows) == len(tasks)
    assert all(len(row) == len(year.head) == len(year.widths) for row in year.rows)
    opening = next(row for row in year.rows if row[0] == "Opening for the season")
    assert opening[2:] == ("", "", "", "", "", "", "1", *[""] * 6)
    weekly = next(row for row in year.rows if row[0].startswith("Read the level"))
    assert set(weekly[2:]) == {"x"}
    boxes = [block for block in paper.blocks if isinstance(block, Boxes)]
    assert sum(len(block.points) for block in boxes) == len(steps) > 0


def test_the_page_is_made_and_says_who_decides_nothing_alone(plain):
    made = pdf(upkeep_calendar(plain, day=DAY, system="metric"))
    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(made)).pages)
    assert "Never enter a tank" in text
    for one in plain["treatment"]["upkeep"]["tasks"]:
        assert one["task"].split()[-1] in text
