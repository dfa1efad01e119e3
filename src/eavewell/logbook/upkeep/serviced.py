"""A log as its service reads it, on a day; and a task with its day."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Literal

from eavewell.logbook.daily_log import DailyLog
from eavewell.logbook.kept import Kept
from eavewell.logbook.readings.counted import Counted
from eavewell.logbook.readings.gauges import gauges_of
from eavewell.logbook.upkeep.care import Care
from eavewell.logbook.upkeep.history import History
from eavewell.logbook.upkeep.noted import Noted, noted
from eavewell.logbook.upkeep.results import Results, results
from eavewell.rules.upkeep_tasks import Task

By = Literal["days", "year", "storm", "hours", "litres", "loss", "test", "outage", "load"]


@dataclass(frozen=True, slots=True)
class Due:
    """One task and when it is next done.

    things    : what it is done to; () the whole system. today : the day of the list.
    by        : what it is counted by. why : how its day was come by, in a sentence.
    last_done : None where no entry tells. put_off : the day on which somebody put it off.
    measured, limit : what was counted against what makes it due, in `unit`.
    every_days, yearly, source : as its plan says. pressing : True where water is held back by it.
    """

    kind: str
    task: str
    things: tuple[str, ...]
    says: str
    due: date
    today: date
    by: By
    why: str
    source: str
    last_done: date | None = None
    put_off: date | None = None
    every_days: int | None = None
    yearly: bool = False
    measured: float | None = None
    limit: float | None = None
    unit: str = ""
    pressing: bool = False

    @property
    def overdue_days(self) -> int:
        """Days since it was due; 0 where it is not over its day."""
        return max((self.today - self.due).days, 0)


@dataclass(frozen=True, slots=True, eq=False)
class Serviced:
    """All that service reads of a site and its log, on a day.

    start : the day from which a task that nobody entered is counted; None unknown.
    """

    care: Care
    noted: Noted
    counted: Counted
    history: History
    results: Results
    today: date
    now: datetime
    start: date | None


def serviced(care: Care, kept: Kept, *, now: datetime, daily: DailyLog | None = None) -> Serviced:
    """Read a log for its service.

    now : an instant with its offset. daily : the daily log up to it, where it is there already.
    """
    zone = care.site.log.zone
    log = noted(kept, zone=zone, until=now)
    today = log.day(now)
    # what is read at this very moment counts
    until = now + timedelta(milliseconds=1)
    counted = Counted(care.site, kept, gauges_of(care.site), until, zone, daily)
    history = History(log, counted, care.site)
    begun = [day for day in (history.first_day(), care.site.permission.use) if day is not None]
    return Serviced(
        care=care,
        noted=log,
        counted=counted,
        history=history,
        results=results(care, log, day=today),
        today=today,
        now=now,
        start=max(begun, default=None),
    )


def drafted(read: Serviced, task: Task, *, thing: str, due: date, by: By, why: str) -> Due:
    """A task as its plan tells it, with its day."""
    return Due(
        kind=task.kind,
        task=task.task,
        things=(thing,) if thing else (),
        says=task.says,
        due=due,
        today=read.today,
        by=by,
        why=why,
        source=task.source,
        last_done=read.history.last_done(task.task, thing),
        every_days=task.every_days,
        yearly=task.yearly,
    )
