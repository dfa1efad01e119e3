"""Roofs put into groups that may be told: none is small, and none can be found by subtraction.

Roofs are counted by district and record. Where every such cell that is told apart holds enough
roofs, any difference of lines is a sum of whole cells, and so holds enough roofs too.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil

from eavewell.tables import table

Cell = tuple[str, str]
# names of the lines of what is too small on its own, and of roofs of no named district
REST, NO_NAME = "the rest", "not named"
# share of the roofs that lie below the low end of a range, and below its high end
RANGE = (0.1, 0.9)


@dataclass(frozen=True, slots=True)
class Group:
    """Some cells under one name.

    told : False for what is too small, or stands with the rest. few : whether it is too small.
    """

    name: str
    cells: tuple[Cell, ...]
    told: bool
    few: bool = False


@dataclass(frozen=True, slots=True)
class Groups:
    """The groups by district and those by record."""

    districts: tuple[Group, ...]
    records: tuple[Group, ...]


def smallest_group() -> int:
    """Fewer roofs than these are not added up."""
    return round(table("district")["smallest group"].value)


def least_with_range() -> int:
    """Fewer roofs than these have no range told: its ends would be shares of very few of them."""
    return ceil(smallest_group() / RANGE[0])


def few(roofs: int) -> bool:
    """Whether so many roofs are too few to be told."""
    return roofs < smallest_group()


def in_order(name: str) -> tuple[tuple[str | int, ...], str]:
    """What names are sorted by: ward 2 stands before ward 10."""
    parts = re.split(r"(\d+)", name)
    return tuple(int(one) if at % 2 else one for at, one in enumerate(parts)), name


def grouped(counts: Mapping[Cell, int]) -> Groups:
    """Group cells of (district, record) with their roofs."""
    districts = sorted({one for one, _ in counts}, key=in_order)
    by_district = _districts(counts, districts)
    lines = [group for group in by_district if group.told]
    aside = {cell for group in lines for cell in _aside(group, counts)}
    aside |= set(counts) - {cell for group in lines for cell in group.cells}
    return Groups(by_district, _records(counts, aside))


def _districts(counts: Mapping[Cell, int], names: Sequence[str]) -> tuple[Group, ...]:
    """A group each; small ones are named, and told together where they are enough.

    Where they are not, the smallest of the others joins them: else the total would tell them.
    """
    roofs = {name: sum(n for (one, _), n in counts.items() if one == name) for name in names}
    small = [name for name in names if few(roofs[name])]
    together = list(small)
    others = sorted((name for name in names if name not in small), key=lambda one: roofs[one])
    while together and few(sum(roofs[name] for name in together)) and others:
        together.append(others.pop(0))
    shown = [
        Group(
            name or NO_NAME,
            _cells(counts, (name,)),
            told=name not in together,
            few=name in small,
        )
        for name in names
    ]
    rest = _cells(counts, together)
    enough = bool(rest) and not few(sum(counts[cell] for cell in rest))
    return (*shown, Group(REST, rest, told=True)) if enough else tuple(shown)


def _cells(counts: Mapping[Cell, int], names: Sequence[str]) -> tuple[Cell, ...]:
    return tuple(cell for cell in counts if cell[0] in names)


def _aside(group: Group, counts: Mapping[Cell, int]) -> list[Cell]:
    """Cells of a district that are not told with their record: the small ones, and enough more."""
    by_record = dict[str, list[Cell]]()
    for cell in group.cells:
        by_record.setdefault(cell[1], []).append(cell)
    roofs = {name: sum(counts[cell] for cell in mine) for name, mine in by_record.items()}
    names = sorted(roofs, key=lambda one: (roofs[one], one))
    taken = [name for name in names if few(roofs[name])]
    others = [name for name in names if name not in taken]
    while taken and few(sum(roofs[name] for name in taken)) and others:
        taken.append(others.pop(0))
    return [cell for name in taken for cell in by_record[name]]


def _records(counts: Mapping[Cell, int], aside: set[Cell]) -> tuple[Group, ...]:
    names = sorted({record for _, record in counts}, key=in_order)
    groups = list[Group]()
    for name in names:
        mine = tuple(cell for cell in counts if cell[1] == name and cell not in aside)
        whole = sum(roofs for (_, record), roofs in counts.items() if record == name)
        groups.append(Group(name, mine, told=bool(mine), few=few(whole)))
    rest = tuple(cell for cell in counts if cell in aside)
    enough = bool(rest) and not few(sum(counts[cell] for cell in rest))
    return (*groups, Group(REST, rest, told=True)) if enough else tuple(groups)
