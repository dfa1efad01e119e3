"""What stands on the first screen of a site with a log."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.faults import EavewellFault
from eavewell.logbook.ahead.answered import Said
from eavewell.logbook.ahead.basis import basis_of
from eavewell.logbook.ahead.from_log import day_of
from eavewell.logbook.checked import leaks_of
from eavewell.logbook.checked_answers import leaks_answer
from eavewell.logbook.entries.asked import bare_unit
from eavewell.logbook.entries.shown import Words
from eavewell.logbook.entries.taken_down import TakenDown
from eavewell.logbook.entries.typed import stick_of
from eavewell.logbook.today_answer import today_of
from eavewell.logbook.upkeep.care import care_of
from eavewell.logbook.upkeep.service import due_of
from eavewell.logbook.upkeep.service_answers import due_answer
from eavewell.logbook.upkeep.serviced import serviced
from eavewell.report.at_once import at_once, next_of, reach_of, to_do
from eavewell.report.blocks import Block, paragraph
from eavewell.report.due import soon_words
from eavewell.report.leaks import findings_of
from eavewell.report.stick import on_stick, shut_apart
from eavewell.report.today import today_sections
from eavewell.site.entry import Reading
from eavewell.web.logged import Logged
from eavewell.web.looked_ahead import looked_ahead
from eavewell.web.stick_plate import stick_plate

Plain = dict[str, Any]
NEXT_DUE = 3


@dataclass(frozen=True, slots=True)
class Typed:
    """What was typed into the field, and what came of it.

    refused : why it was not written. taken : what is in the log, with what is doubted in it.
    """

    value: str = ""
    who: str = ""
    refused: tuple[str, ...] = ()
    taken: TakenDown | None = None


def today_parts(log: Logged, typed: Typed | None = None) -> Plain:
    """Everything on the page; what the log does not tell yet is told in its place."""
    shown = log.shown
    return {
        "shown": shown,
        "name": shown.folder.name,
        "title": shown.title,
        "day": day_of(log.site, log.now).isoformat(),
        "field": _field(log),
        "typed": typed or Typed(),
        "ahead": _ahead(log),
        "today": _or_why(lambda: _sections(log)),
    }


def found_parts(log: Logged) -> Plain:
    """What the log is looked through for: leaks and what is due next."""
    return {
        "name": log.shown.folder.name,
        "leaks": _or_why(lambda: findings_of(leaks_by_log(log)["findings"])),
        "due": soon_words(due_by_log(log), most=NEXT_DUE),
    }


def leaks_by_log(log: Logged) -> Plain:
    """The leak tests of a log as plain data."""
    found = leaks_of(log.design, log.store, now=log.now)
    return leaks_answer(log.site, found, day=day_of(log.site, log.now))


def due_by_log(log: Logged) -> Plain:
    """The due list of a site as plain data."""
    read = serviced(care_of(log.design), log.store, now=log.now)
    return due_answer(log.site, due_of(read), day=read.today)


def _or_why(made: Callable[[], Iterable[Block]]) -> list[Block]:
    """Blocks, or the sentences why there are none."""
    try:
        return list(made())
    except EavewellFault as refused:
        return [paragraph(one.says) for one in refused.faults]


def _sections(log: Logged) -> list[Block]:
    made = log.design
    answer = today_of(basis_of(made), made.drawn.every_day, kept=log.store, now=log.now)
    return today_sections(answer, system=log.site.place.show)


def _ahead(log: Logged) -> Plain:
    """What lies ahead in words and as the stick; refused : why it cannot be said."""
    nothing: Plain = {"refused": [], "supplies": (), "reach": (), "to_do": (), "next": ()}
    try:
        answer = looked_ahead(log, Said(), cut_years=False)
    except EavewellFault as refused:
        says = [f"{one.where}: {one.says}" if one.where else one.says for one in refused.faults]
        return nothing | {"refused": says, "sticks": [], "invented": False}
    system = log.site.place.show
    return {
        "refused": [],
        "supplies": at_once(answer, system=system),
        "reach": reach_of(answer, system=system),
        "to_do": to_do(answer, system=system),
        "next": next_of(answer, system=system),
        "sticks": [
            (one["name"], stick_plate(one, answer), shut_apart(one, answer))
            for one in answer["tanks"]
        ],
        "invented": answer["invented"],
    }


def _field(log: Logged) -> Plain:
    """The one field: its gauge, and the last reading of it."""
    gauge, words = stick_of(log.site), Words(log.site)
    last = log.store.last(gauge.name) if gauge else None
    return {
        "gauge": gauge,
        "unit": bare_unit(gauge, log.site.place.show) if gauge else "",
        "last": _said(log, last) if last else "",
        "when": words.when(last.at) if last else "",
        "who": last.who if last else "",
        "questioned": last is not None and "questioned: " in last.note.casefold(),
    }


def _said(log: Logged, last: Reading) -> str:
    """A reading as somebody said it, or what a machine said as it stands on the stick."""
    if last.said:
        return Words(log.site).figure(last)
    return on_stick(last.value, Sizes(log.site.place.show))
