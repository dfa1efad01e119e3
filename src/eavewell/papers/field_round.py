"""The round of a field team: what is due at many sites, as csv, workbook, calendar and paper."""

import csv
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, date, datetime, time, timedelta
from io import StringIO
from itertools import groupby
from typing import Any
from uuid import NAMESPACE_URL, uuid5

from eavewell.answers.shown import count, listed
from eavewell.answers.shown import day as in_words
from eavewell.papers.books import Cell, Column, Page, book
from eavewell.papers.paper import Ledger, Paper, PaperBlock, Part
from eavewell.report.blocks import Caution, paragraph
from eavewell.tables.texts import words

WORDS = words("built_systems")
Plain = Mapping[str, Any]
SOON_DAYS = 30
WIDTHS, SECOND_WIDTHS = (1.2, 2.3, 2.4, 1.1, 0.9, 0.9, 0.7), (1.5, 1.3, 2.2, 0.9, 0.8)
ROW_MM = 5.6
WIDE = (14, 16, 12, 28, 22, 11, 9, 11, 60)


def round_of(answer: Plain, *, days: int = SOON_DAYS) -> list[Plain]:
    """What is over its day or due within so many days, by town and site, the latest first.

    answer : a register as plain data.
    """
    last = (date.fromisoformat(answer["day"]) + timedelta(days=days)).isoformat()
    found = [one for one in answer["due"] if one["due"] <= last]
    return sorted(
        found, key=lambda one: (one["town"] is None, one["town"], one["site"], one["due"])
    )


def round_csv(answer: Plain, *, days: int = SOON_DAYS) -> str:
    """A line a task."""
    page = StringIO()
    writer = csv.writer(page, lineterminator="\n")
    names = WORDS.several("round.file_head")
    writer.writerow(names)
    for one in round_of(answer, days=days):
        told = {**one, "things": "; ".join(one["things"])}
        writer.writerow([_cell(told[name]) for name in names])
    return page.getvalue()


def _cell(cell: Any) -> Any:
    """Nothing for None; no name as a formula."""
    if isinstance(cell, str) and cell.startswith(("=", "+", "-", "@", "\t")):
        return f"'{cell}"
    return "" if cell is None else cell


def round_book(answer: Plain, *, days: int = SOON_DAYS) -> bytes:
    """The same as a workbook."""
    heads = zip(WORDS.several("round.head_book"), WIDE, strict=True)
    columns = tuple(
        Column(head, wide, "number" if at == 6 else "text") for at, (head, wide) in enumerate(heads)
    )
    note = WORDS.say(
        "round.book_note", eavewell=answer["eavewell"], day=in_words(answer["day"]), days=days
    )
    page = Page(
        WORDS.say("round.book_page"),
        WORDS.say("round.book_title", name=answer["name"]),
        note,
        columns,
        tuple(_cells(one) for one in round_of(answer, days=days)),
    )
    day = date.fromisoformat(answer["day"])
    return book([page], site=answer["name"], day=day, system=answer["show"])


def _cells(one: Plain) -> tuple[Cell, ...]:
    return (
        one["town"] or "",
        one["site"],
        one["kind"],
        one["task"],
        ", ".join(one["things"]),
        one["due"],
        one["overdue_days"],
        one["last_done"] or "",
        one["says"],
    )


def round_calendar(answer: Plain, *, days: int = SOON_DAYS) -> bytes:
    """The same as a calendar file; what is over its day stands on the day of the register.

    An event keeps its identity from run to run, so that a calendar replaces it.
    """
    from icalendar import Calendar

    made = Calendar()
    made.add("prodid", f"-//Eavewell//{answer['eavewell']}//EN")
    made.add("version", "2.0")
    made.add("calscale", "GREGORIAN")
    made.add("method", "PUBLISH")
    made.add("x-wr-calname", WORDS.say("round.calendar", name=answer["name"]))
    named = Counter[str]()
    for one in round_of(answer, days=days):
        name = _identity(one)
        # tasks that are alike in every word are told apart by their number
        made.add_component(
            _event(one, answer, uid=f"{named[name]}-{name}" if named[name] else name)
        )
        named[name] += 1
    return bytes(made.to_ical())


def _identity(one: Plain) -> str:
    told = "|".join((one["site"], one["kind"], one["task"], *one["things"]))
    return f"{uuid5(NAMESPACE_URL, told)}@eavewell"


def _event(one: Plain, answer: Plain, *, uid: str) -> Any:
    from icalendar import Event

    today = date.fromisoformat(answer["day"])
    due = max(date.fromisoformat(one["due"]), today)
    event = Event()
    event.add("uid", uid)
    event.add("dtstamp", datetime.combine(today, time(), tzinfo=UTC))
    event.add("dtstart", due)
    event.add("dtend", due + timedelta(days=1))
    event.add("summary", _summary(one))
    event.add("description", one["says"])
    if one["town"]:
        event.add("location", one["town"])
    event.add("categories", [one["kind"]])
    event.add("transp", "TRANSPARENT")
    return event


def _summary(one: Plain) -> str:
    if not one["things"]:
        return WORDS.say("round.event", site=one["site"], task=one["task"])
    things = ", ".join(one["things"])
    return WORDS.say("round.event_things", site=one["site"], task=one["task"], things=things)


def round_paper(answer: Plain, *, days: int = SOON_DAYS) -> Paper:
    """The same as a page to print, a part for each town, with room to sign."""
    found = round_of(answer, days=days)
    blocks = list[PaperBlock]()
    if not found:
        blocks.append(paragraph(WORDS.say("round.none", days=days)))
    for town, group in groupby(found, key=lambda one: one["town"]):
        blocks += [
            Part(town or WORDS.say("round.town_none")),
            Ledger(WORDS.several("round.head"), tuple(map(_row, group)), WIDTHS, ROW_MM),
        ]
    blocks += _second(answer)
    sharing = sum("service" in one["shares"] for one in answer["sites"])
    lead = WORDS.say(
        "round.lead",
        day=in_words(answer["day"]),
        days=days,
        sites=sharing,
        all=len(answer["sites"]),
    )
    return register_paper(answer, blocks, named=("round", WORDS.say("round.title")), lead=(lead,))


def register_paper(
    answer: Plain, blocks: Sequence[PaperBlock], *, named: tuple[str, str], lead: tuple[str, ...]
) -> Paper:
    """A paper of a register; named : its file, and its title."""
    return Paper(
        name=named[0],
        title=named[1],
        site=answer["name"],
        day=date.fromisoformat(answer["day"]),
        record=WORDS.say("board.foot", day=in_words(answer["day"])),
        version=answer["eavewell"],
        blocks=tuple(blocks),
        lead=lead,
        paged="letter" if answer["show"] == "us" else "a4",
        invented=answer.get("invented", False),
    )


def _row(one: Plain) -> tuple[str, ...]:
    of = listed(one["things"]) if one["things"] else ""
    over = f"{one['overdue_days']:,}" if one["overdue_days"] else ""
    return one["site"], one["task"], of, in_words(one["due"]), over, "", ""


def _when(due: str, over_days: int) -> str:
    if not over_days:
        return in_words(due)
    return WORDS.say("round.over", day=in_words(due), days=count(over_days, "day"))


def _second(answer: Plain) -> Iterator[PaperBlock]:
    """Sites with a second supply, those whose device is tested first on top."""
    found = [one for one in answer["sites"] if one["second_supply"]]
    if not found:
        return
    rows = tuple(
        (
            one["site"],
            one["town"] or "",
            _when(one["backflow_due"], one["backflow_overdue_days"])
            if one["backflow_due"]
            else WORDS.say("round.no_device"),
            "",
            "",
        )
        for one in sorted(found, key=lambda one: (one["backflow_due"] or "", one["site"]))
    )
    yield Part(WORDS.say("round.second"))
    yield Caution(WORDS.say("round.second_lead"))
    yield Ledger(WORDS.several("round.second_head"), rows, SECOND_WIDTHS, ROW_MM)
