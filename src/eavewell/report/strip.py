"""A long row of numbers as one small strip: the level through the record, rain by years."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median
from typing import Any

BARS = " ▁▂▃▄▅▆▇█"
PLAIN = " .:-=+*#@"
DRY = "."
# Of the usable volume: less is no water.
EMPTY_SHARE = 0.001


@dataclass(frozen=True)
class Strip:
    """A strip as wide as the page; plain characters where the terminal has no others.

    values      : the middle one of each stretch is drawn, against `full`.
    empty       : values up to it ran empty, which is marked below their stretch.
    what        : what the values are, for who hears it.
    first       : months since year 0 of the first value; step : months of one value.
    worst       : first and last month of the spell to mark; None where there is none.
    """

    values: Sequence[float]
    full: float
    first: int
    step: int = 1
    worst: tuple[int, int] | None = None
    empty: float = -1.0
    what: str = "Level"

    def lines(self, width: int, *, plain: bool = False) -> tuple[str, str, str, str]:
        """The strip, what ran empty, the worst spell and the years."""
        edges = self._edges(width)
        ink = self._ink(edges, PLAIN if plain else BARS)
        return ink, self._dry(edges), self._mark(edges), self._years(edges)

    def _edges(self, width: int) -> list[int]:
        width = min(width, len(self.values))
        return [len(self.values) * at // width for at in range(width + 1)]

    def _ink(self, edges: list[int], marks: str) -> str:
        steps = len(marks) - 1
        middle = (median(self.values[a:b]) / self.full for a, b in pairwise(edges))
        # What is not empty shows at least the lowest mark.
        return "".join(marks[min(steps, int(steps * share + 0.999))] for share in middle)

    def _dry(self, edges: list[int]) -> str:
        dry = (min(self.values[a:b]) <= self.empty for a, b in pairwise(edges))
        return "".join(DRY if one else " " for one in dry).rstrip()

    def _mark(self, edges: list[int]) -> str:
        if self.worst is None:
            return ""
        first, last = ((month - self.first) // self.step for month in self.worst)
        return "".join("^" if a <= last and b > first else " " for a, b in pairwise(edges)).rstrip()

    def _years(self, edges: list[int]) -> str:
        line, before = "", None
        for at, edge in enumerate(edges[:-1]):
            year = (self.first + edge * self.step) // 12
            shown = year if before is None else year // 10 * 10
            is_new = before is None or year // 10 > before // 10
            before = year
            if is_new and at >= len(line) and at + len(str(shown)) < len(edges):
                line = f"{line.ljust(at)}{shown} "
        return line.rstrip()


def level_strip(answer: dict[str, Any]) -> Strip:
    """The lowest level of all stores together through the whole record."""
    levels, worst = answer["storage"]["levels"], answer["storage"]["worst_short"]
    spell = None if worst["from"] is None else (months(worst["from"]), months(worst["to"]))
    full = levels["usable_l"] or 1.0
    return Strip(
        levels["lowest_l"],
        full,
        first=months(levels["from"]),
        worst=spell,
        empty=EMPTY_SHARE * full,
    )


def months(iso: str) -> int:
    """Months since year 0 of a day or month as text."""
    return int(iso[:4]) * 12 + int(iso[5:7]) - 1
