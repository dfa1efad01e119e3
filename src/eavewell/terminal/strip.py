"""The level through the whole record as one small strip."""

from itertools import pairwise
from typing import Any

BARS = " ▁▂▃▄▅▆▇█"
PLAIN = " .:-=+*#@"


def level_strip(answer: dict[str, Any], *, width: int, plain: bool = False) -> list[str]:
    """Three lines: the lowest level of each stretch of months, the worst spell, the years.

    width : columns of the strip. plain : ASCII only, for a terminal without block characters.
    """
    levels = answer["storage"]["levels"]
    lowest, usable = levels["lowest_l"], levels["usable_l"] or 1.0
    width = min(width, len(lowest))
    first_year, first_month = (int(part) for part in levels["from"].split("-"))
    edges = [len(lowest) * at // width for at in range(width + 1)]
    marks = PLAIN if plain else BARS
    steps = len(marks) - 1
    ink = "".join(
        marks[min(steps, int(steps * min(lowest[a:b]) / usable + 0.999))]
        for a, b in pairwise(edges)
    )
    worst = answer["storage"]["worst_short"]
    start = first_year * 12 + first_month - 1
    return [ink, _spell_line(worst, start, edges=edges), _year_line(start, edges=edges)]


def _spell_line(worst: dict[str, Any], start: int, *, edges: list[int]) -> str:
    if worst["from"] is None:
        return ""
    first, last = (_months(worst[key]) - start for key in ("from", "to"))
    pairs = pairwise(edges)
    return "".join("^" if a <= last and b > first else " " for a, b in pairs).rstrip()


def _year_line(start: int, *, edges: list[int]) -> str:
    line: list[str] = []
    for at, edge in enumerate(edges[:-1]):
        year = (start + edge) // 12
        before = (start + edges[at - 1]) // 12 if at else year - 1
        is_decade = year // 10 > before // 10
        if at >= len(line) and (at == 0 or is_decade) and at + 4 <= len(edges) + 1:
            line += list(" " * (at - len(line)) + str(year if at == 0 else year // 10 * 10) + " ")
    return "".join(line).rstrip()


def _months(iso: str) -> int:
    return int(iso[:4]) * 12 + int(iso[5:7]) - 1
