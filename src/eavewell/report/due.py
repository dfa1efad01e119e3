"""The due list: what is over its day first, then month by month."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby
from typing import Any

from eavewell.answers.shown import MONTHS, count, day, listed
from eavewell.report.blocks import Block, Heading, heading, paragraph, ruled

Plain = dict[str, Any]
# how a task is done is told of what is due so soon
SOON_DAYS = 14
HEAD = ("day", "what", "of")


@dataclass(frozen=True, slots=True)
class Group:
    """Tasks that stand together: what is over its day, or of one month.

    lines : each task's row as told (day, what, of), a note to it, and the task itself.
    """

    words: str
    lines: tuple[tuple[tuple[str, str, str], str, Plain], ...]


def due_page(answer: Plain, *, days: int = 366) -> list[Block]:
    """The list of a site.

    days : what is due later than so many days from the day of the list is only counted.
    """
    groups = due_groups(answer, days=days)
    page: list[Block] = list(_head(answer))
    for group in groups:
        page += _listed(group)
    later = len(answer["due"]) - sum(len(group.lines) for group in groups)
    return [*page, paragraph(f"{count(later, 'task')} later than that." if later else "")]


def due_groups(answer: Plain, *, days: int = 366) -> tuple[Group, ...]:
    """What is over its day, then month by month."""
    today = date.fromisoformat(answer["day"])
    last = (today + timedelta(days=days)).isoformat()
    soon = (today + timedelta(days=SOON_DAYS)).isoformat()
    shown = [one for one in answer["due"] if one["due"] <= last]
    over = [one for one in shown if one["overdue_days"]]
    ahead = [one for one in shown if not one["overdue_days"]]
    months = groupby(ahead, key=lambda one: one["due"][:7])
    parted = [("Over its day", over), *((_month(month), list(group)) for month, group in months)]
    return tuple(
        Group(
            words,
            tuple((_row(one), _note(one, tells=one["due"] <= soon), one) for one in found),
        )
        for words, found in parted
        if found
    )


def due_in_short(answer: Plain) -> str:
    """How many are over their day, else which is next."""
    over = answer["overdue"]
    if not answer["due"]:
        return "This site has nothing to look after."
    if not over:
        return f"Nothing is over its day. Next: {_next(answer['due'][0])}."
    return f"{count(over, 'task')} over {'its' if over == 1 else 'their'} day."


def _head(answer: Plain) -> Iterator[Block]:
    yield Heading(f"{answer['site']}: what is due, {day(answer['day'])}")
    yield paragraph(due_in_short(answer))


def _next(one: Plain) -> str:
    return f"{one['task']} on {day(one['due'])}"


def _month(month: str) -> str:
    year, number = month.split("-")
    return f"{MONTHS[int(number) - 1]} {year}"


def soon_words(answer: Plain, *, most: int) -> tuple[str, ...]:
    """The first of the list in a line each, the most overdue first."""
    return tuple(
        f"{task}{f' ({of})' if of != '-' else ''}: {when}"
        for when, task, of in map(_row, answer["due"][:most])
    )


def _listed(group: Group) -> list[Block]:
    rows, notes, _ = zip(*group.lines, strict=True)
    return [heading(group.words), ruled(HEAD, rows, names=(0, 1, 2), notes=notes)]


def _row(one: Plain) -> tuple[str, str, str]:
    over = one["overdue_days"]
    when = f"{day(one['due'])}, {count(over, 'day')} ago" if over else day(one["due"])
    return when, one["task"], listed(one["things"]) if one["things"] else "-"


def _note(one: Plain, *, tells: bool) -> str:
    return " ".join(part for part in (one["why"], one["says"] if tells else "") if part)
