"""What is due: by days, by storms, by a lamp's hours, by a cartridge's litres, after an outage."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date, datetime, timedelta
from itertools import groupby

from eavewell.answers.shown import day as in_words
from eavewell.logbook.kept import Kept
from eavewell.logbook.upkeep.care import Care
from eavewell.logbook.upkeep.load_tasks import for_loads
from eavewell.logbook.upkeep.outages import after_outages
from eavewell.logbook.upkeep.service_counts import by_counts, days_of, metered_l_day
from eavewell.logbook.upkeep.serviced import Due, Serviced, drafted, serviced
from eavewell.rules.upkeep_tasks import Task

# a yearly task that is done so many days before its day is done for that year
EARLY_DAYS = 91


def due(care: Care, kept: Kept, *, now: datetime) -> tuple[Due, ...]:
    """Every task of a site with the day it is next due.

    What holds water back stands first, then the most overdue.
    """
    return due_of(serviced(care, kept, now=now))


def due_of(read: Serviced) -> tuple[Due, ...]:
    """The same of a log that was read."""
    tested = read.care.tested(read.results.tests, today=read.today)
    tasks = read.care.tasks(tested, metered_l_day(read))
    found = [one for task in tasks for one in _of_task(read, task)]
    asked = (*after_outages(read), *for_loads(read))
    found += [_put_off(read, one, thing=one.things[0]) for one in asked]
    by_day = sorted(_together(found), key=lambda one: (one.due, one.kind, one.task))
    return tuple(sorted(by_day, key=lambda one: not one.pressing))


def _of_task(read: Serviced, task: Task) -> Iterator[Due]:
    for thing in task.things or ("",):
        if task.kind == "water test":
            yield _put_off(read, _by_test(read, task, thing=thing), thing=thing)
        elif task.yearly:
            yield _put_off(read, _by_year(read, task), thing=thing)
            return
        else:
            yield _put_off(read, _soonest(read, task, thing=thing), thing=thing)


def _soonest(read: Serviced, task: Task, *, thing: str) -> Due:
    """The earliest of all that the task is counted by."""
    counted = list(by_counts(read, task, thing=thing))
    replaced = any(one.by == "hours" for one in counted)
    days = [] if replaced else list(_by_days(read, task, thing=thing))
    return min((*days, *counted), key=lambda one: one.due)


def _by_days(read: Serviced, task: Task, *, thing: str) -> Iterator[Due]:
    every = days_of(read, task, thing=thing)
    last = read.history.last_done(task.task, thing)
    if every is None:
        return
    if last is not None:
        why = f"Last done on {in_words(last.isoformat())}."
        day = last + timedelta(days=every)
    elif read.start is not None:
        why = f"Never entered; counted from {in_words(read.start.isoformat())}."
        day = read.start + timedelta(days=every)
    else:
        why, day = "Never entered.", task.due
    found = drafted(read, task, thing=thing, due=day, by="days", why=why)
    yield replace(found, every_days=every)


def _by_year(read: Serviced, task: Task) -> Due:
    """On its day of the year; done shortly before or after, it is done for that year."""
    last = read.history.last_done(task.task, "")
    day = task.due
    after = last + timedelta(days=EARLY_DAYS) if last else read.start
    if after is not None:
        day = _same_day(task.due, after)
    why = f"Last done on {in_words(last.isoformat())}." if last else "Never entered."
    return replace(
        drafted(read, task, thing="", due=day, by="year", why=why), things=tuple(task.things)
    )


def _same_day(day: date, after: date) -> date:
    """The first such day of a year on or after another; plans hold no 29 February."""
    this_year = day.replace(year=after.year)
    return this_year if this_year >= after else day.replace(year=after.year + 1)


def _by_test(read: Serviced, task: Task, *, thing: str) -> Due:
    """As its results say; a sample that was taken waits for its result."""
    end_use = task.task.rsplit(" ", 1)[-1]
    one = next(
        one for one in read.results.found if (one.plan.of, one.plan.end_use) == (thing, end_use)
    )
    latest = one.result.latest
    day = latest.day if latest else None
    said = f"{one.result.state} on {in_words(day.isoformat())}" if day else "never tested"
    why = f"{said[:1].upper()}{said[1:]}."
    sampled = read.history.last_done(task.task, thing)
    if sampled and (day is None or sampled > day):
        why = f"{why} A sample was taken on {in_words(sampled.isoformat())}; no result is entered."
    failed = day if one.today else None
    due = one.retest or failed or task.due
    found = drafted(read, task, thing=thing, due=due, by="test", why=why)
    if one.today:
        tell = f" Tell the {one.tell}." if one.tell else ""
        says = f"Today: {one.today}.{tell} Then: {one.mend}."
        found = replace(found, says=says, pressing=True)
    return replace(found, last_done=day)


def _put_off(read: Serviced, one: Due, *, thing: str) -> Due:
    """Moved to the day to which somebody put it off, if that was after it was last done."""
    entry = read.history.put_off(one.task, thing)
    if entry is None or entry.until is None:
        return one
    on, until = read.noted.day(entry.at), read.noted.day(entry.until)
    if until <= one.due:
        return one
    was = in_words(one.due.isoformat())
    why = f"{one.why} Put off on {in_words(on.isoformat())}; was due on {was}."
    return replace(one, due=until, put_off=on, why=why)


def _together(found: Iterable[Due]) -> Iterator[Due]:
    """One row for things of a task that are alike in every word."""

    def alike(one: Due) -> tuple[str, ...]:
        told = replace(one, things=())
        return tuple(str(getattr(told, name)) for name in Due.__dataclass_fields__)

    for _, group in groupby(sorted(found, key=alike), key=alike):
        same = list(group)
        things = dict.fromkeys(thing for one in same for thing in one.things)
        yield replace(same[0], things=tuple(things))
