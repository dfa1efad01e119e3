"""What keeps a system going: each task with its things, how often, and the day it is next due."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import groupby
from types import MappingProxyType
from typing import Literal

import numpy as np

from eavewell.demand.calendar import present
from eavewell.rules.judged import Judged
from eavewell.site.barrier import Lamp
from eavewell.site.line import InLine, InLineKind
from eavewell.site.site import Site
from eavewell.site.want import Household, People
from eavewell.tables import rows, sources
from eavewell.treatment.barriers import TreatedLine
from eavewell.treatment.order import CARTRIDGES
from eavewell.treatment.season import SeasonStep
from eavewell.treatment.water_tests import Tested

Kind = Literal["care", "inspection", "water test", "season"]
# any year with 29 February, to find the first and last day of a season
_YEAR = 2024
# the plan names the source of each limit itself
PLAN = "the water test plan, where each limit has its source"


@dataclass(frozen=True, slots=True)
class Task:
    """One task.

    things     : what it is done to, by name; () for the whole system.
    every_days : days to the next time; None for once, or once a year where `yearly`.
    due        : next day. yearly : on the same day of every year.
    source     : where it stands that it is done so often.
    """

    kind: Kind
    task: str
    things: tuple[str, ...]
    says: str
    every_days: int | None
    due: date
    source: str
    yearly: bool = False


def upkeep_tasks(
    site: Site,
    *,
    judged: Judged,
    tested: Tested,
    treated: tuple[TreatedLine, ...] = (),
    season: tuple[SeasonStep, ...] = (),
) -> tuple[Task, ...]:
    """Every task of a site, the next due first.

    Days are counted from the first day of use, or from the day of judging where none is known.

    judged : the rules of the place, with what they inspect. tested : its water tests.
    treated : lines with the lives of their cartridges. season : steps of closing and opening.
    """
    today, use = judged.today, site.permission.use
    found = (
        *_care(site, treated, today=today),
        *_inspections(judged, use),
        *_tests(tested, first=max(today, use or today)),
        *_season(site, season, today=today),
    )
    return tuple(sorted(found, key=lambda one: (one.due, one.kind, one.task)))


def _care(site: Site, treated: tuple[TreatedLine, ...], *, today: date) -> Iterator[Task]:
    """Rows of tables/upkeep_tasks.csv whose thing a site has."""
    lives = _lives(site, treated)
    for row in rows("upkeep_tasks"):
        things = NEEDS[row["needs"]](site, treated)
        usual = int(row["every_days"]) if row["every_days"] else None
        own = {thing: lives.get((row["task"], thing), usual) for thing in things}
        source = _source(row)
        for every in sorted({days for days in own.values() if days is not None}):
            same = tuple(thing for thing, days in own.items() if days == every)
            due = next_due(site.permission.use, every, today=today)
            yield Task("care", row["task"], same, row["says"], every, due, source)


def _source(row: Mapping[str, str]) -> str:
    title, place = sources()[row["source"]]["title"], row["place"]
    return title if place.lower() in title.lower() else f"{title}, {place}"


def _lives(site: Site, treated: tuple[TreatedLine, ...]) -> dict[tuple[str, str], int]:
    """Days of what has a life of its own, by task and thing."""
    found = {
        ("change the cartridge", one.thing.name): _whole(one.every_days)
        for line in treated
        for one in line.cartridges
        if one.every_days is not None
    }
    for one in _in_line(site, "lamp"):
        if isinstance(one.works, Lamp) and one.works.life_h:
            found["change the lamp", one.name] = _whole(one.works.life_h / 24.0)
    return found


def _whole(days: float) -> int:
    return max(1, int(days + 1e-9))


def next_due(use: date | None, every_days: int, *, today: date) -> date:
    """The first day on or after today of an interval that is counted from the first day of use."""
    start = use or today
    rounds = max(1, -(-(today - start).days // every_days))
    return start + timedelta(days=rounds * every_days)


def _inspections(judged: Judged, use: date | None) -> Iterator[Task]:
    for one in judged.due:
        asked = one.inspection
        every = _whole(asked.every_days)
        due = one.day or next_due(use, every, today=judged.today)
        says = f"Asked for by {judged.authority.name}: look, write down what was found and by whom."
        yield Task("inspection", asked.what, (), says, every, due, asked.written.in_words)


def _tests(tested: Tested, *, first: date) -> Iterator[Task]:
    """Tests of one class that fall on one day and are repeated alike, as one visit."""
    listed = sorted(
        (
            (max(one.due or first, first), one.plan.every_days or 0.0, one.plan)
            for one in tested.results
            if one.due is not None or one.plan.every_days
        ),
        key=lambda one: (one[0], one[1], one[2].end_use),
    )
    for (due, every, end_use), group in groupby(listed, key=lambda one: (*one[:2], one[2].end_use)):
        plans = [plan for _, _, plan in group]
        names = tuple(dict.fromkeys(plan.of for plan in plans))
        limited = any(plan.source for plan in plans)
        says = (
            "Order the bottles before; take the sample at the tap that is used; a pass is 'no "
            "failure found' on its day."
        )
        yield Task(
            "water test",
            f"water test, class {end_use}",
            names,
            says,
            _whole(every) if every else None,
            due,
            PLAN if limited else "asked for by the roof's materials",
        )


def _season(site: Site, steps: tuple[SeasonStep, ...], *, today: date) -> Iterator[Task]:
    """Opening on the first day that somebody is there, closing on the last."""
    if not steps:
        return
    for first, last in _stays(site):
        for when, (month, day) in (("opening", first), ("closing", last)):
            mine = [one for one in steps if one.when == when]
            says = "\n".join(f"{one.thing}: {one.says}" for one in mine)
            due = _on_or_after(today, month, day=day)
            things = tuple(dict.fromkeys(one.thing for one in mine))
            source = sources()["common_practice"]["title"]
            yield Task(
                "season", f"{when} for the season", things, says, None, due, source, yearly=True
            )


def _stays(site: Site) -> list[tuple[tuple[int, int], tuple[int, int]]]:
    """First and last day of each stretch of the year in which somebody is there."""
    dates = np.arange(f"{_YEAR}-01-01", f"{_YEAR + 1}-01-01", dtype="datetime64[D]")
    here = np.zeros(dates.size, dtype=np.bool_)
    for want in (want for use in site.uses for want in use.wants):
        if isinstance(want, People | Household):
            whole_weeks = replace(want.calendar, weekdays=frozenset(), spans=())
            here |= present(whole_weeks, dates)
    starts = np.flatnonzero(here & ~np.roll(here, 1))
    ends = np.flatnonzero(here & ~np.roll(here, -1))
    after = [
        int(ends[ends >= start][0]) if (ends >= start).any() else int(ends[0]) for start in starts
    ]
    return [
        (_month_day(int(start)), _month_day(end)) for start, end in zip(starts, after, strict=True)
    ]


def _month_day(at: int) -> tuple[int, int]:
    day = date(_YEAR, 1, 1) + timedelta(days=at)
    # every year has a 28 February
    return (2, 28) if (day.month, day.day) == (2, 29) else (day.month, day.day)


def _on_or_after(today: date, month: int, *, day: int) -> date:
    this_year = date(today.year, month, day)
    return this_year if this_year >= today else date(today.year + 1, month, day)


Things = Callable[[Site, tuple[TreatedLine, ...]], tuple[str, ...]]


def _in_line(site: Site, *kinds: InLineKind) -> Iterator[InLine]:
    return (one for line in site.lines for one in line.in_line if one.kind in kinds)


def _fitted(*kinds: InLineKind) -> Things:
    return lambda site, treated: _names(one.name for one in _in_line(site, *kinds))


def _names(names: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(names))


def _lasting(site: Site, treated: tuple[TreatedLine, ...]) -> tuple[str, ...]:
    known = (one for line in treated for one in line.cartridges if one.every_days is not None)
    return _names(one.thing.name for one in known)


def _unknown_life(site: Site, treated: tuple[TreatedLine, ...]) -> tuple[str, ...]:
    known = _lasting(site, treated)
    return _names(one.name for one in _in_line(site, *CARTRIDGES) if one.name not in known)


# what a row of tables/upkeep_tasks.csv needs, and the things of a site that are it
NEEDS: Mapping[str, Things] = MappingProxyType(
    {
        "tank": lambda site, _: _names(one.name for one in site.tanks if not one.is_sump),
        "screen": lambda site, _: _names(
            screen.name for roof in site.roofs if roof.drains_to for screen in roof.screens
        ),
        "first flush": lambda site, _: _names(
            roof.name for roof in site.roofs if roof.drains_to and roof.first_flush
        ),
        "gutter": lambda site, _: _names(
            gutter.name for roof in site.roofs if roof.drains_to for gutter in roof.gutters
        ),
        "sump": lambda site, _: _names(one.name for one in site.tanks if one.is_sump),
        "pump": lambda site, _: _names(one.name for one in site.lines if one.pump),
        "pressure tank": lambda site, _: _names(
            one.name for one in site.lines if one.pressure_tank
        ),
        "cartridge": _lasting,
        "cartridge of unknown life": _unknown_life,
        "lamp": _fitted("lamp"),
        "chlorine": _fitted("chlorine"),
        "backflow device": _fitted("backflow device"),
        "meter": _fitted("meter"),
        "drip": lambda site, _: _names(
            lateral.name for line in site.lines for lateral in line.laterals
        ),
        "trough": lambda site, _: _names(
            trough.name for line in site.lines for trough in line.troughs
        ),
        "valve": lambda site, _: _names(line.name for line in site.lines),
    }
)
