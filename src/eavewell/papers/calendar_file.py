"""The maintenance calendar as a file that any calendar program reads: whole days, with repeats."""

from collections import Counter
from collections.abc import Mapping
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from uuid import NAMESPACE_URL, uuid5

from eavewell.tables.texts import words

WORDS = words("upkeep_calendar")
Plain = Mapping[str, Any]
# days before an event on which a calendar reminds of it; of daily care it does not
REMINDS = {"inspection": 7, "water test": 7, "season": 14}


def calendar_file(answer: Plain, *, day: date) -> bytes:
    """One event a task, repeated for ever; whole days, so that no clock change moves them.

    answer : a design as plain data. day : of the run; two runs of one day are equal. An event keeps
    its identity from run to run, so that a calendar that reads the file again replaces it.
    """
    from icalendar import Calendar

    made = Calendar()
    made.add("prodid", f"-//Eavewell//{answer['eavewell']}//EN")
    made.add("version", "2.0")
    made.add("calscale", "GREGORIAN")
    made.add("method", "PUBLISH")
    made.add("x-wr-calname", WORDS.say("file.page.water_system", site=_line(answer["site"])))
    stamp = datetime.combine(day, time(), tzinfo=UTC)
    named: Counter[str] = Counter()
    for task in answer["treatment"]["upkeep"]["tasks"]:
        event = _event(task, answer, stamp=stamp)
        name = identity(task, site=answer["site"])
        # tasks that are alike in every word are told apart by their number
        event.add("uid", f"{named[name]}-{name}" if named[name] else name)
        named[name] += 1
        made.add_component(event)
    return bytes(made.to_ical())


def _event(task: Plain, answer: Plain, *, stamp: datetime) -> Any:
    from icalendar import Event

    due = date.fromisoformat(task["due"])
    event = Event()
    event.add("dtstamp", stamp)
    event.add("dtstart", due)
    event.add("dtend", due + timedelta(days=1))
    if repeats := _repeats(task):
        event.add("rrule", repeats)
    event.add("summary", _summary(task))
    event.add("description", _told(task, answer))
    event.add("categories", [task["kind"]])
    event.add("transp", "TRANSPARENT")
    if task["kind"] in REMINDS:
        event.add_component(_reminder(task))
    return event


def _reminder(task: Plain) -> Any:
    from icalendar import Alarm

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", _summary(task))
    alarm.add("trigger", timedelta(days=-REMINDS[task["kind"]]))
    return alarm


def identity(task: Plain, *, site: str) -> str:
    """A name of its own for each task of a site, the same in every run."""
    words = "|".join((site, task["kind"], task["task"], str(task["every_days"]), *task["things"]))
    return f"{uuid5(NAMESPACE_URL, words)}@eavewell"


def _repeats(task: Plain) -> dict[str, Any]:
    if task["yearly"]:
        return {"freq": "yearly"}
    return {"freq": "daily", "interval": task["every_days"]} if task["every_days"] else {}


def _summary(task: Plain) -> str:
    words = _line(task["task"])
    named = words[:1].upper() + words[1:]
    if task["kind"] == "season":
        return named
    if task["kind"] == "inspection":
        return WORDS.say("file.summary.inspection", words=words)
    return f"{named}: {_line(', '.join(task['things']))}" if task["things"] else named


def _told(task: Plain, answer: Plain) -> str:
    source = task["source"]
    if task["every_days"]:
        source = WORDS.say("file.told.every_days", every_days=task["every_days"], source=source)
    return WORDS.say(
        "file.told.eavewell",
        says=task["says"],
        source=source,
        site=_line(answer["site"]),
        eavewell=answer["eavewell"],
    )


def _line(words: str) -> str:
    return " ".join(words.split())
