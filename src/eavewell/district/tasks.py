"""Tasks: some parts of one gauge, run wherever there is a free core."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby

from eavewell.district.balance import screen
from eavewell.district.part_files import is_done, write_part
from eavewell.district.parts_of_work import PART_ROOFS, Asked, Part
from eavewell.district.prices import Prices, prices_of
from eavewell.district.ready import ready
from eavewell.faults import EavewellFault
from eavewell.site.district import District
from eavewell.site.money import PriceBook

# Most roofs of a task, and how many tasks each worker does at the least: they become smaller
# towards the end, so that all are done at about the same time.
TASK_ROOFS, TASKS_EACH = 4 * PART_ROOFS, 4


@dataclass(frozen=True, slots=True, eq=False)
class Task:
    """Parts of one gauge for one core.

    threads : cores for the balance.
    """

    asked: Asked
    parts: tuple[Part, ...]
    threads: int = 1


@dataclass(frozen=True, slots=True)
class Done:
    """A part that is done. refused : why its record cannot be used; "" where it can."""

    name: str
    refused: str = ""


def tasks_of(
    asked: Asked,
    parts: Iterable[Part],
    *,
    roofs: int = TASK_ROOFS,
    threads: int = 1,
    workers: int = 1,
) -> Iterator[Task]:
    """Parts that are not done yet, as tasks of one gauge with so many roofs at the most."""
    waiting = [part for part in parts if not is_done(asked.out, part)]
    left = len(waiting)
    for _, same in groupby(waiting, key=lambda part: part.gauge):
        mine = list(same)
        while mine:
            each = max(1, min(roofs // PART_ROOFS, left // (TASKS_EACH * workers)))
            yield Task(asked, tuple(mine[:each]), threads)
            left -= len(mine[:each])
            del mine[:each]


def do(task: Task) -> list[Done]:
    """Screen every part of a task and write its files; a record that cannot be used is told."""
    gauge = task.parts[0].gauge
    try:
        days = ready(task.asked.district, gauge)
    except EavewellFault as refused:
        says = refused.faults[0].says.rstrip(".")
        return [Done(part.name, f"record {gauge.name}: {says}") for part in task.parts]
    prices = _prices(task.asked.district, task.asked.book)
    for part in task.parts:
        found = screen(days, part.roofs, threads=task.threads)
        write_part(task.asked, part, found=found, prices=prices)
    return [Done(part.name) for part in task.parts]


@lru_cache(maxsize=2)
def _prices(district: District, book: PriceBook) -> dict[str, Prices]:
    return prices_of(district, book)


def here(tasks: Iterable[Task]) -> Iterator[list[Done]]:
    """Run the tasks one after the other in this process."""
    for task in tasks:
        yield do(task)
