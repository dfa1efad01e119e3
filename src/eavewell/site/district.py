"""A district: many roofs that are asked the same question."""

from dataclasses import dataclass, field

from eavewell.site.goal import Goal
from eavewell.site.money import Money
from eavewell.site.place import Show
from eavewell.site.roof import Roof
from eavewell.site.use import Use


@dataclass(frozen=True, slots=True)
class UseSet:
    """What one kind of household draws.

    uses  : all from the one tank of a roof.
    goals : what each use must reach.
    each  : names of the uses whose people are those of the roof; they are written for one person.
    """

    name: str
    uses: tuple[Use, ...]
    goals: tuple[Goal, ...]
    each: frozenset[str]


@dataclass(frozen=True, slots=True)
class District:
    """What is asked of every roof of a table.

    sizes_l : usable volumes of the tanks tried, rising.
    sets    : use sets; a roof that names none has the one called `usual`.
    roof    : what stands on every roof: first flush, screens, snow; its area counts for nothing.
    finish, people : of a roof whose table has no such column; "" and None where nothing is usual.
    unit    : depth unit of records that do not tell; "" where none.
    rule, show : as for a site.
    folder  : where the file lies; the price book is read from there.
    """

    name: str
    sizes_l: tuple[float, ...]
    sets: tuple[UseSet, ...]
    usual: str
    roof: Roof
    finish: str = ""
    people: float | None = None
    unit: str = ""
    rule: str = "yas"
    show: Show = "us"
    money: Money = field(default_factory=Money)
    folder: str = ""

    def use_set(self, name: str) -> UseSet:
        """The use set of that name; KeyError where there is none."""
        return {one.name: one for one in self.sets}[name]


@dataclass(frozen=True, slots=True)
class Gauge:
    """Where a daily record lies and where it was measured.

    path    : of a record file; of a gridded file the cell is `cell`, (row, column).
    elevation_m : None where unknown.
    """

    name: str
    path: str
    latitude: float
    longitude: float
    elevation_m: float | None = None
    cell: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class OneRoof:
    """One roof of a district.

    people : for the uses that go by them.
    """

    use_set: str
    finish: str
    area_m2: float = 1.0
    people: float = 1.0
    name: str = "roof"
