"""The due list and the water tests as plain data; every key stands in tables/answers."""

from datetime import date
from importlib.metadata import version
from typing import Any

from eavewell.answers.water_tests import sampling_answer, water_tests_answer
from eavewell.logbook.upkeep.results import Found, Results
from eavewell.logbook.upkeep.serviced import Due
from eavewell.papers.calendar_file import calendar_file
from eavewell.site.site import Site
from eavewell.site.water import WaterTest
from eavewell.treatment.water_tests import Tested, unit_of

Plain = dict[str, Any]


def due_answer(site: Site, found: tuple[Due, ...], *, day: date) -> Plain:
    """Every task of a site with the day it is next due, the most overdue first.

    day : of the list.
    """
    return {
        "schema": "eavewell-due/1",
        "site": site.name,
        "eavewell": version("eavewell"),
        "show": site.place.show,
        "day": day.isoformat(),
        "overdue": sum(one.overdue_days > 0 for one in found),
        "due": [_due(one) for one in found],
    }


def _due(one: Due) -> Plain:
    return {
        "kind": one.kind,
        "task": one.task,
        "things": list(one.things),
        "says": one.says,
        "due": one.due.isoformat(),
        "overdue_days": one.overdue_days,
        "by": one.by,
        "why": one.why,
        "last_done": _iso(one.last_done),
        "put_off": _iso(one.put_off),
        "every_days": one.every_days,
        "yearly": one.yearly,
        "measured": one.measured,
        "limit": one.limit,
        "unit": one.unit,
        "source": one.source,
    }


def due_calendar(answer: Plain) -> bytes:
    """The due list as a calendar file, to be read again and again.

    What is overdue stands on the day of the list, so that it is seen.
    """
    tasks = [one | {"due": max(one["due"], answer["day"])} for one in answer["due"]]
    told = {
        "site": answer["site"],
        "eavewell": answer["eavewell"],
        "treatment": {"upkeep": {"tasks": [_event(one) for one in tasks]}},
    }
    return calendar_file(told, day=date.fromisoformat(answer["day"]))


def _event(one: Plain) -> Plain:
    """A task as the calendar tells it: why it is due stands before how it is done."""
    return one | {"says": f"{one['why']} {one['says']}".strip()}


def results_answer(site: Site, found: Results) -> Plain:
    """Every planned test with what was found, what is done today and when it is taken again."""
    planned = Tested(found.day, tuple(one.result for one in found.found))
    rows = zip(water_tests_answer(planned), found.found, strict=True)
    return {
        "schema": "eavewell-results/1",
        "site": site.name,
        "eavewell": version("eavewell"),
        "show": site.place.show,
        "day": found.day.isoformat(),
        "held_back": len(found.held_back),
        "tests": [_tested(row, one) for row, one in rows],
        "beside": [_test(one) for one in found.beside],
        "taps": list(found.taps),
        "sampling": sampling_answer(),
    }


def _tested(row: Plain, one: Found) -> Plain:
    """A planned test; what to do today is told where it failed alone."""
    return row | {
        "expires": _iso(one.expires),
        "clear_left": one.clear_left,
        "retest": _iso(one.retest),
        "today": one.today,
        "tell": one.tell,
        "mend": one.mend,
        "history": [_test(test) for test in one.history],
    }


def _test(one: WaterTest) -> Plain:
    return {
        "of": one.of,
        "found": one.value,
        "below": one.below,
        "unit": unit_of(one.of),
        "day": one.day.isoformat(),
        "tap": one.tap,
        "laboratory": one.laboratory,
    }


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None
