"""What the level book that came back with a sheet says."""

from dataclasses import dataclass, field

from eavewell.faults import EavewellFault
from eavewell.files.field.block import Block, readings
from eavewell.files.field.levelling import Levelled, levelled
from eavewell.site.place import Show
from eavewell.units import show

FEET_AND_METRES = ("ft", "m")


@dataclass(frozen=True, slots=True)
class Booked:
    """The level of each point above the datum, and what is to be said of the book."""

    levels_m: dict[str, float] = field(default_factory=dict)
    says: str = ""


def booked(block: Block, *, system: Show) -> Booked:
    """The book of a sheet, worked out; a book that cannot be says why."""
    if not block.book:
        return Booked()
    try:
        book = readings(block)
        made = levelled(book)
    except EavewellFault as refused:
        return Booked(says=f"The level book: {refused.faults[0].says}")
    levels_m = {one.point: level for one, level in zip(book, made.levels_m, strict=True)}
    return Booked(levels_m, _closure(made, system))


def level_in_words(level_m: float) -> str:
    """A level as a rod tells it, in both units."""
    return " or ".join(show(level_m, "level", unit=unit, figures=4) for unit in FEET_AND_METRES)


def _closure(made: Levelled, system: Show) -> str:
    if made.misclosure_m is None:
        return "The level book does not end on a known point: nobody knows what it misses."
    misses, most = (
        show(abs(size_m) * 1000.0, "bore", system=system, figures=2)
        for size_m in (made.misclosure_m, made.allowed_m)
    )
    closes = "it is spread over the set-ups" if made.closes else "level it again"
    return f"The loop misses {misses}, of {most} that are allowed: {closes}."
