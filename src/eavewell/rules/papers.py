"""The papers an authority asks for, each with its day and how far it is done."""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from eavewell.site.authority import PaperAsked, When
from eavewell.site.permission import PaperDone, Permission

State = Literal["done", "planned", "open", "overdue", "too late", "perhaps"]
_YEAR = timedelta(days=365)


@dataclass(frozen=True, slots=True)
class Paper:
    """One paper asked for.

    state : "planned" is dated after today; "too late" is dated after the day by which it was due;
            "perhaps" waits for a trigger that cannot be judged yet. due : None where that day is
            unknown.
    done  : the day it was or will be given; None open. by : who gave it or is to.
    """

    asked: PaperAsked
    state: State
    due: date | None
    done: date | None
    by: str


def judge_paper(
    asked: PaperAsked, permission: Permission, *, today: date, is_sure: bool = True
) -> Paper:
    """How far one paper is done on a day.

    is_sure : False where a trigger that asks for it cannot be judged. A paper dated on the very
    day it is due counts; one dated after today is planned, and not yet done.
    """
    mine = next((one for one in permission.papers if one.name == asked.name), None)
    done = mine.done if mine else None
    due = _due(asked.when, permission, done=done)
    state = _state(asked.when, due, done=done, today=today)
    return Paper(
        asked,
        state if is_sure or state == "done" else "perhaps",
        due,
        done,
        mine.by if mine and mine.by else asked.who,
    )


def unasked(papers: tuple[Paper, ...], permission: Permission) -> tuple[PaperDone, ...]:
    """Papers that the owner has and nobody asks for here."""
    names = {paper.asked.name for paper in papers}
    return tuple(one for one in permission.papers if one.name not in names)


def _due(when: When, permission: Permission, *, done: date | None) -> date | None:
    if when == "each year":
        return permission.use if done is None else done + _YEAR
    days = {
        "before purchase": permission.purchase,
        "before building": permission.building,
        "before covering": permission.use,
        "before use": permission.use,
    }
    return days[when]


def _state(when: When, due: date | None, *, done: date | None, today: date) -> State:
    yearly = when == "each year"
    if done is not None and done > today:
        return "too late" if due is not None and done > due else "planned"
    if done is not None and not yearly:
        return "too late" if due is not None and done > due else "done"
    if done is not None and due is not None and today <= due:
        return "done"
    return "overdue" if due is not None and due <= today else "open"
