"""Tasks that are counted by what happened: a storm, hours burned, litres passed, pressure lost."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta
from types import MappingProxyType

from eavewell.answers.shown import Sizes
from eavewell.answers.shown import day as in_words
from eavewell.logbook.readings.counted import midnight
from eavewell.logbook.readings.counter import Counter
from eavewell.logbook.upkeep.serviced import By, Due, Serviced, drafted
from eavewell.rules.upkeep_tasks import Task
from eavewell.site.barrier import Cartridge, Lamp
from eavewell.tables import rows
from eavewell.units import show

Row = Mapping[str, str]
# what a counter went up in so many days tells how soon it reaches its limit
RATE_DAYS = 60
CHANGE = "change the cartridge"
# further ahead than this no day is told by a counter
MOST_AHEAD_DAYS = 3650


def by_counts(read: Serviced, task: Task, *, thing: str) -> Iterator[Due]:
    """The task by every count of tables/service_counts.csv that its thing has."""
    for row in rows("service_counts"):
        if row["task"] == task.task:
            yield from COUNTS[row["by"]](read, task, thing=thing, row=row)


def days_of(read: Serviced, task: Task, *, thing: str) -> int | None:
    """Days to the next time; None where a counter tells it instead.

    The plan turns a cartridge's litres into days by the planned use; a meter knows better.
    """
    works = _works(read, thing)
    if task.task != CHANGE or not isinstance(works, Cartridge) or not works.life_l:
        return task.every_days
    if _water(read, thing) is None:
        return task.every_days
    return max(1, int(works.life_days)) if works.life_days else None


def metered_l_day(read: Serviced) -> dict[str, float]:
    """What passes each metered line on a mean day of the last weeks."""
    since = read.now - timedelta(days=RATE_DAYS)
    found = {}
    for line in read.care.site.lines:
        counter = read.counted.water_of(line)
        if counter is not None and (l_day := counter.a_day(since)):
            found[line.name] = l_day
    return found


def _works(read: Serviced, thing: str) -> object:
    found = read.care.line_of(thing)
    return found[1].works if found and found[1] else None


def _water(read: Serviced, thing: str) -> Counter | None:
    found = read.care.line_of(thing)
    return read.counted.water_of(found[0]) if found else None


def _by_storm(read: Serviced, task: Task, *, thing: str, row: Row) -> Iterator[Due]:
    """The day after the first such rain since it was last done."""
    last, limit_mm = read.history.last_done(task.task, thing), float(row["limit"])
    since = last or read.start
    storms = [
        (day, depth_mm)
        for day, depth_mm in read.counted.rain_mm().items()
        if depth_mm >= limit_mm and day <= read.today and (since is None or day > since)
    ]
    if storms:
        day, depth_mm = min(storms)
        fell = Sizes(read.care.site.place.show).depth(depth_mm)
        why = f"{fell} of rain fell on {in_words(day.isoformat())}: {row['says']}. {_last(last)}"
        found = drafted(read, task, thing=thing, due=day + timedelta(days=1), by="storm", why=why)
        yield replace(found, measured=depth_mm, limit=limit_mm, unit="mm")


def _by_hours(read: Serviced, task: Task, *, thing: str, row: Row) -> Iterator[Due]:
    """By the hours that a lamp burned since it was put in; its counter then began at nothing."""
    counter, works = read.counted.hours_of(thing), _works(read, thing)
    if counter is None:
        return
    stated_h = works.life_h if isinstance(works, Lamp) else None
    limit_h = stated_h or float(row["limit"])
    draft = drafted_by(read, task, thing=thing, by="hours")
    yield _by_counter(read, draft, counter=counter, limit=limit_h, unit="h")


def _by_litres(read: Serviced, task: Task, *, thing: str, row: Row) -> Iterator[Due]:
    """By the litres that passed a cartridge since it was put in."""
    counter, works = _water(read, thing), _works(read, thing)
    if counter is None or not isinstance(works, Cartridge) or not works.life_l:
        return
    draft = drafted_by(read, task, thing=thing, by="litres")
    yield _by_counter(read, draft, counter=counter, limit=works.life_l, unit="L")


def drafted_by(read: Serviced, task: Task, *, thing: str, by: By) -> Due:
    """The task with no day yet."""
    return drafted(read, task, thing=thing, due=read.today, by=by, why="")


def _by_counter(read: Serviced, draft: Due, *, counter: Counter, limit: float, unit: str) -> Due:
    """Due when it reached its limit, or when it will at the pace of the last weeks."""
    last, began = draft.last_done, counter.first or read.now
    since = midnight(last, read.noted.zone) if last else began
    before = 0.0 if last else counter.began
    counted = before + (counter.between(since, read.now) or 0.0)
    reached = counter.reached(since, limit - before)
    pace = counter.a_day(read.now - timedelta(days=RATE_DAYS))
    if reached is None and counted >= limit:
        reached = counter.last
    day = read.noted.day(reached) if reached else _ahead(read.today, limit - counted, pace=pace)
    amount, most = (_amount(read, one, unit=unit) for one in (counted, limit))
    why = f"{amount} of {most} are over. {_last(last)}"
    return replace(draft, due=day, why=why, measured=counted, limit=limit, unit=unit)


def _ahead(today: date, left: float, *, pace: float | None) -> date:
    days = left / pace if pace else MOST_AHEAD_DAYS
    return today + timedelta(days=int(min(max(days, 0.0), MOST_AHEAD_DAYS)))


def _amount(read: Serviced, value: float, *, unit: str) -> str:
    quantity = {"h": "hours", "L": "volume", "m of water": "pressure"}[unit]
    return show(value, quantity, system=read.care.site.place.show)


def _by_loss(read: Serviced, task: Task, *, thing: str, row: Row) -> Iterator[Due]:
    """At once where its pressure gauge says that it is full."""
    found = read.care.line_of(thing)
    said = read.counted.last("filter loss", thing)
    if said is None or found is None or found[1] is None or not found[1].dirty_m:
        return
    full_m, last = found[1].dirty_m, read.history.last_done(task.task, thing)
    if said.value >= full_m and (last is None or last < said.day):
        lost, most = (_amount(read, one, unit="m of water") for one in (said.value, full_m))
        why = (
            f"It took {lost} on {in_words(said.day.isoformat())}; at {most} it is changed. "
            f"{_last(last)}"
        )
        draft = drafted(read, task, thing=thing, due=said.day, by="loss", why=why)
        yield replace(draft, measured=said.value, limit=full_m, unit="m of water")


def _last(last: date | None) -> str:
    return f"Last done on {in_words(last.isoformat())}." if last else "Never entered."


COUNTS: Mapping[str, Callable[..., Iterator[Due]]] = MappingProxyType(
    {"storm": _by_storm, "hours": _by_hours, "litres": _by_litres, "loss": _by_loss}
)
