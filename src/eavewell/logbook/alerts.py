"""What needs doing today: by the look ahead, the leak tests, the due list and the water tests."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from eavewell.answers.shown import Sizes, count, day, listed
from eavewell.faults import EavewellFault
from eavewell.logbook.ahead.answered import Said, answered
from eavewell.logbook.checked import leaks_answered
from eavewell.logbook.entries.renamed import gone
from eavewell.logbook.nothing_kept import log_if_any
from eavewell.logbook.upkeep.care import care_without_rain
from eavewell.logbook.upkeep.service import due_of
from eavewell.logbook.upkeep.serviced import serviced
from eavewell.report.ahead import alert_words
from eavewell.site.beside import Beside
from eavewell.site.rain_record import RainRecord
from eavewell.site.site import Site


@dataclass(frozen=True, slots=True)
class Alert:
    """One thing that needs doing.

    mark : by which the same thing is known on another day.
    """

    mark: str
    says: str


@dataclass(frozen=True, slots=True)
class Checked:
    """What needs doing, the most pressing first; unknown : what could not be looked at, and why."""

    alerts: tuple[Alert, ...]
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Asked:
    """A site on its record, with what stands beside it, at an instant with its offset."""

    site: Site
    record: RainRecord
    beside: Beside
    now: datetime


def check_today(asked: Asked) -> Checked:
    """Everything that needs doing on the day of an instant."""
    found: list[Alert] = []
    unknown: list[str] = []
    for look in (_names, _ahead, _leaks, _service):
        try:
            found += look(asked)
        except EavewellFault as refused:
            unknown += [str(fault) for fault in refused.faults]
    told = {one.says for one in found}
    return Checked(tuple(found), tuple(one for one in dict.fromkeys(unknown) if one not in told))


def _names(asked: Asked) -> Iterator[Alert]:
    with log_if_any(asked.site) as kept:
        for one in gone(asked.site, kept):
            yield Alert(f"gone {one.name}", one.words)


def _ahead(asked: Asked) -> Iterator[Alert]:
    answer = answered(asked.site, asked.record, beside=asked.beside, said=Said(), now=asked.now)
    for one in answer["alerts"]:
        words = alert_words(one, Sizes(asked.site.place.show))
        yield Alert(f"ahead {one['what']} {one['about']}", words)


def _leaks(asked: Asked) -> Iterator[Alert]:
    answer = leaks_answered(asked.site, asked.record, beside=asked.beside, now=asked.now)
    for one in answer["findings"]:
        if one["level"] != "note":
            fix = f" {one['fix'][:1].upper()}{one['fix'][1:]}." if one["fix"] else ""
            says = f"{one['where'][:1].upper()}{one['where'][1:]}: {one['says']}{fix}"
            yield Alert(f"leaks {one['code']} {one['where']}", says)


def _service(asked: Asked) -> Iterator[Alert]:
    care = care_without_rain(asked.site, asked.beside.authority)
    with log_if_any(asked.site) as kept:
        read = serviced(care, kept, now=asked.now)
        for held in read.results.held_back:
            today = held.today.rstrip(".") or "one more clear test is wanted"
            says = f"{held.plan.of}: {today}."
            yield Alert(f"test {held.plan.of}", says)
        for one in due_of(read):
            if one.overdue_days:
                of = f" ({listed(one.things)})" if one.things else ""
                over = count(one.overdue_days, "day")
                says = f"{one.task}{of}: due {day(one.due.isoformat())}, {over} over."
                yield Alert(f"due {one.task} {' '.join(one.things)} {one.due}", says)
