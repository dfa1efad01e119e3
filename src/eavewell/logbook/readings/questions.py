"""What somebody should look at: a figure that was taken as it came, and why it is doubted."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from eavewell.weather.counted import counted

T = TypeVar("T")
# of one kind and one gauge, so that no kind hides another; the rest are counted
MOST = 3


@dataclass(frozen=True, slots=True)
class Question:
    """A figure that is doubted; nothing is refused and nothing put right without being asked.

    at_utc : of the reading, datetime64[ms]; None where it is about a whole file.
    says   : a sentence with the figure and what makes it doubtful.
    line   : in the file it came from, counted from 1; None where it came from none.
    """

    gauge: str
    says: str
    at_utc: np.datetime64 | None = None
    value: float | None = None
    line: int | None = None


def first_of(
    gauge: str, doubtful: Sequence[T], *, ask: Callable[[T], Question]
) -> tuple[Question, ...]:
    """Questions on the first of many doubtful figures of one kind, and how many more there are."""
    asked = tuple(ask(one) for one in doubtful[:MOST])
    more = len(doubtful) - MOST
    if more <= 0:
        return asked
    return (
        *asked,
        Question(gauge, f"And {counted(more, 'more figure')} of this gauge like these."),
    )
