"""The maintenance calendar on paper: a year of tasks at a glance, then how each is done."""

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from eavewell.answers.shown import MONTHS, count, listed
from eavewell.answers.shown import day as day_in_words
from eavewell.papers.design_report import paper_of
from eavewell.papers.paper import Boxes, Ledger, NewPage, Paper, PaperBlock, Part
from eavewell.report.blocks import Caution, Heading, Words
from eavewell.site.place import Show
from eavewell.tables.texts import words

WORDS = words("upkeep_calendar")
Plain = Mapping[str, Any]
# so that what is due in a year from now is seen too
MONTHS_SHOWN = 13
# what comes more often than this is told in words and not day by day
OFTEN_DAYS = 21
# widths of the columns that tell how
HOW = (2.9, 5.4, 1.95, 4.8)
ORDER = ("season", "inspection", "water test", "care")
PARTS = {
    "season": WORDS.say("parts.season"),
    "inspection": WORDS.say("parts.inspection"),
    "water test": WORDS.say("parts.water_test"),
    "care": WORDS.say("parts.care"),
}


def upkeep_calendar(answer: dict[str, Any], *, day: date, system: Show) -> Paper:
    """The calendar from the month of the run to the same month of the next year.

    answer : a design as plain data. The same tasks stand in the calendar file.
    """
    tasks = answer["treatment"]["upkeep"]["tasks"]
    blocks: list[PaperBlock] = [*_year(tasks, day), NewPage()]
    for kind in ORDER:
        mine = [one for one in tasks if one["kind"] == kind]
        if mine:
            blocks += [Part(PARTS[kind]), *(_seasons(answer) if kind == "season" else _told(mine))]
    named = ("maintenance-calendar", WORDS.say("page.maintenance_calendar"))
    return paper_of(answer, blocks, named=named, day=day, system=system)


def _year(tasks: list[Plain], day: date) -> list[PaperBlock]:
    """Every task as a row, the days of each month as numbers to be crossed out."""
    months = [_month(day, ahead) for ahead in range(MONTHS_SHOWN)]
    head = ("task", "every", *(MONTHS[month - 1] for _, month in months))
    rows = tuple(
        (_named(one), _every(one), *_cells(one, months))
        for kind in ORDER
        for one in tasks
        if one["kind"] == kind
    )
    last = f"{MONTHS[months[-1][1] - 1]} {months[-1][0]}"
    return [
        Words(WORDS.say("year.from_end_number_day", day=day_in_words(day.isoformat()), last=last)),
        Ledger(head, rows, (7.2, 2.1, *(1.0,) * MONTHS_SHOWN), 4.4),
        Caution(WORDS.say("year.never_enter_tank_sump")),
    ]


def _month(day: date, ahead: int) -> tuple[int, int]:
    years, month = divmod(day.month - 1 + ahead, 12)
    return day.year + years, month + 1


def _cells(task: Plain, months: list[tuple[int, int]]) -> list[str]:
    """Days of a task in each month; a task of every few days is told once, in words."""
    if task["every_days"] and task["every_days"] <= OFTEN_DAYS:
        return ["x" for _ in months]
    year, month = months[-1]
    until = date(year, month, 28) + timedelta(days=4)
    found = due_days(task, until=until - timedelta(days=until.day))
    return [
        " ".join(str(one.day) for one in found if (one.year, one.month) == here) for here in months
    ]


def due_days(task: Plain, *, until: date) -> list[date]:
    """Every day on which a task is due, the last one included."""
    due, every = date.fromisoformat(task["due"]), task["every_days"]
    if task["yearly"]:
        years = range(due.year, until.year + 1)
        days = [due.replace(year=year) for year in years]
    elif every:
        days = [due + timedelta(days=k * every) for k in range((until - due).days // every + 1)]
    else:
        days = [due]
    return [one for one in days if one <= until]


def _every(task: Plain) -> str:
    if task["yearly"]:
        return "year"
    return count(task["every_days"], "day") if task["every_days"] else "once"


def _named(task: Plain) -> str:
    """What is done, and to what where that is not a list of its own."""
    words = task["task"][:1].upper() + task["task"][1:]
    return words if task["kind"] == "season" or not task["things"] else f"{words}: {_things(task)}"


def _things(task: Plain) -> str:
    return listed(task["things"])


def _told(tasks: list[Plain]) -> list[PaperBlock]:
    """How each task is done, and where it stands that it is done so often."""
    rows = tuple(
        (_named(one), one["says"], day_in_words(one["due"]), f"{one['source']}.") for one in tasks
    )
    return [Ledger(WORDS.several("told.head"), rows, HOW)]


def _seasons(answer: Plain) -> list[PaperBlock]:
    """Steps of opening and of closing, to be ticked."""
    found: list[PaperBlock] = []
    steps = answer["treatment"]["upkeep"]["season"]
    for when in ("opening", "closing"):
        told = tuple(
            f"{one['thing'][:1].upper()}{one['thing'][1:]}: {one['says']}"
            for one in steps
            if one["when"] == when
        )
        if told:
            found += [Heading(f"{when[:1].upper()}{when[1:]}"), Boxes(told)]
    return found
