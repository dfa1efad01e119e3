"""The care of one year: tasks done and missed, outages, loads, tests."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from eavewell.logbook.upkeep.service_counts import metered_l_day
from eavewell.logbook.upkeep.serviced import Serviced
from eavewell.rules.upkeep_tasks import Task
from eavewell.site.entry import Load, Outage
from eavewell.site.water import WaterTest
from eavewell.tables import table
from eavewell.treatment.water_tests import PlannedTest, State, says


@dataclass(frozen=True, slots=True)
class TaskOfYear:
    """One task in a year.

    done : days on which it was done to any of its things. missed : times its days ran out by more
    than a quarter before it was done, for the thing that fared worst.
    """

    kind: str
    task: str
    things: tuple[str, ...]
    every_days: int | None
    done: tuple[date, ...]
    missed: int


@dataclass(frozen=True, slots=True)
class ResultOfYear:
    """One result, and what it says by itself against the limit of one class."""

    test: WaterTest
    plan: PlannedTest | None
    says: State | None


@dataclass(frozen=True, slots=True)
class OutageOfYear:
    """One outage that began in the year; hours until it ended, or until now."""

    outage: Outage
    day: date
    hours: float
    lasts: bool


@dataclass(frozen=True, slots=True)
class LoadOfYear:
    """One load that came in the year, and the day it came."""

    load: Load
    day: date


@dataclass(frozen=True, slots=True)
class CareOfYear:
    """Everything that was done in a year, from the first to the last day of the log in it."""

    tasks: tuple[TaskOfYear, ...]
    tests: tuple[ResultOfYear, ...]
    outages: tuple[OutageOfYear, ...]
    loads: tuple[LoadOfYear, ...]


def care_of_year(read: Serviced, *, first: date, last: date) -> CareOfYear:
    """What the log tells of the days from first to last."""
    tested = read.care.tested(read.results.tests, today=read.today)
    tasks = read.care.tasks(tested, metered_l_day(read))
    return CareOfYear(
        tuple(
            _task(read, one, first=first, last=last) for one in tasks if one.kind != "water test"
        ),
        tuple(_tests(read, first=first, last=last)),
        tuple(_outages(read, first=first, last=last)),
        tuple(_loads(read, first=first, last=last)),
    )


def _task(read: Serviced, task: Task, *, first: date, last: date) -> TaskOfYear:
    done, missed = set[date](), 0
    for thing in task.things or ("",):
        every = read.history.days_done(task.task, thing)
        done |= {day for day in every if first <= day <= last}
        if task.every_days and read.start is not None:
            begun = max((day for day in every if day < first), default=max(read.start, first))
            inside = [day for day in every if first <= day <= last]
            missed = max(missed, _missed([begun, *inside], last, every_days=task.every_days))
    return TaskOfYear(
        task.kind, task.task, task.things, task.every_days, tuple(sorted(done)), missed
    )


def _missed(days: list[date], last: date, *, every_days: int) -> int:
    """Times that so many days and a quarter ran out before the next day, or before the last."""
    late = every_days * (1.0 + table("year_figures")["late"].value)
    between = [(b - a).days for a, b in pairwise(days)]
    missed = sum(max(math.ceil(gap / late) - 1, 0) for gap in between)
    return missed + int((last - days[-1]).days / late)


def _tests(read: Serviced, *, first: date, last: date) -> Iterator[ResultOfYear]:
    for test in sorted(read.results.tests, key=lambda one: (one.day, one.of)):
        if first <= test.day <= last:
            plans = [one.plan for one in read.results.found if one.plan.of == test.of]
            if not plans:
                yield ResultOfYear(test, None, None)
            for plan in plans:
                yield ResultOfYear(test, plan, says(plan, test))


def _outages(read: Serviced, *, first: date, last: date) -> Iterator[OutageOfYear]:
    for one in read.noted.outages:
        day, ended = read.noted.day(one.began), min(one.ended or read.now, read.now)
        if first <= day <= last and one.began <= read.now:
            hours = (ended - one.began).total_seconds() / 3600.0
            yield OutageOfYear(one, day, hours, one.ended is None)


def _loads(read: Serviced, *, first: date, last: date) -> Iterator[LoadOfYear]:
    for one in read.noted.loads:
        if one.came is not None and first <= read.noted.day(one.came) <= last:
            yield LoadOfYear(one, read.noted.day(one.came))
