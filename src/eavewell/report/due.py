"""The due list: what is over its day first, then month by month."""

from collections.abc import Iterator
from datetime import date, timedelta
from itertools import groupby
from typing import Any

from eavewell.answers.shown import MONTHS, count, day, listed
from eavewell.report.blocks import Block, Heading, heading, paragraph, ruled

Plain = dict[str, Any]
# how a task is done is told of what is due so soon
SOON_DAYS = 14
HEAD = ("day", "what", "of")


def due_page(answer: Plain, *, days: int = 366) -> list[Block]:
    """The list of a site.

    days : what is due later than so many days from the day of the list is only counted.
    """
    today = date.fromisoformat(answer["day"])
    last = (today + timedelta(days=days)).isoformat()
    shown = [one for one in answer["due"] if one["due"] <= last]
    over = [one for one in shown if one["overdue_days"]]
    ahead = [one for one in shown if not one["overdue_days"]]
    page: list[Block] = [*_head(answer), *_listed(over, "Over its day", today=today)]
    for month, group in groupby(ahead, key=lambda one: one["due"][:7]):
        page += _listed(list(group), _month(month), today=today)
    later = len(answer["due"]) - len(shown)
    return [*page, paragraph(f"{count(later, 'task')} later than that." if later else "")]


def _head(answer: Plain) -> Iterator[Block]:
    yield Heading(f"{answer['site']}: what is due, {day(answer['day'])}")
    over = answer["overdue"]
    if not answer["due"]:
        yield paragraph("This site has nothing to look after.")
    elif not over:
        yield paragraph(f"Nothing is over its day. Next: {_next(answer['due'][0])}.")
    else:
        yield paragraph(f"{count(over, 'task')} over {'its' if over == 1 else 'their'} day.")


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


def _listed(found: list[Plain], words: str, *, today: date) -> list[Block]:
    if not found:
        return []
    soon = (today + timedelta(days=SOON_DAYS)).isoformat()
    return [
        heading(words),
        ruled(
            HEAD,
            [_row(one) for one in found],
            names=(0, 1, 2),
            notes=[_note(one, tells=one["due"] <= soon) for one in found],
        ),
    ]


def _row(one: Plain) -> tuple[str, str, str]:
    over = one["overdue_days"]
    when = f"{day(one['due'])}, {count(over, 'day')} ago" if over else day(one["due"])
    return when, one["task"], listed(one["things"]) if one["things"] else "-"


def _note(one: Plain, *, tells: bool) -> str:
    return " ".join(part for part in (one["why"], one["says"] if tells else "") if part)
