"""What is asked first of a site with a log: until when, what rain brings, what reaches a month."""

from dataclasses import dataclass
from typing import Any

from eavewell.answers.shown import Sizes, listed
from eavewell.report.ahead import alert_words, order_words, reach_words, stage_words
from eavewell.report.lasts import held_words, lasts, rain_words, stated_words
from eavewell.site.place import Show

Plain = dict[str, Any]


@dataclass(frozen=True, slots=True)
class AtOnce:
    """The first words of a supply.

    of : its tanks. until : the date in words. how : at which use, and how many days. rain : what
    one rain brings; "" where none does. more : the same at the plan's use, and what it holds.
    """

    of: str
    until: str
    how: str
    rain: str
    more: tuple[str, ...]


def at_once(answer: Plain, *, system: Show) -> tuple[AtOnce, ...]:
    """Of a look ahead, one for each supply."""
    sizes = Sizes(system)
    return tuple(_of(one, answer, sizes=sizes) for one in answer["supplies"])


def _of(one: Plain, answer: Plain, *, sizes: Sizes) -> AtOnce:
    first, *then = lasts(one, answer, sizes=sizes)
    make_up = "Make-up from the mains is left out of these days." if one["has_make_up"] else ""
    more = (*(plan.words for plan in then), make_up, held_words(one, answer, sizes=sizes))
    return AtOnce(
        listed(one["tanks"]),
        first.until,
        first.how,
        rain_words(one, sizes),
        tuple(words for words in more if words),
    )


def reach_of(answer: Plain, *, system: Show) -> tuple[str, ...]:
    """What may be used to reach the day that was asked for, in sentences."""
    return tuple(says for one in answer["reach"] for says in reach_words(one, Sizes(system)))


def to_do(answer: Plain, *, system: Show) -> tuple[str, ...]:
    """What is to be acted on today."""
    return tuple(alert_words(one, Sizes(system)) for one in answer["alerts"])


def next_of(answer: Plain, *, system: Show) -> tuple[str, ...]:
    """The next ration stage of each use, and by when a load is ordered."""
    sizes = Sizes(system)
    stages = [stage_words(one, sizes) for one in answer["stages"]]
    orders = [
        order_words(one, lead, sizes=sizes)
        for one in answer["orders"]
        for lead in ("normal", "slow")
    ]
    stated = stated_words(answer, sizes)
    return tuple(says for says in (*stages, *orders, stated) if says)
