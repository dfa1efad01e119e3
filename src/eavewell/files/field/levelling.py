"""The level book: rod readings at one or several set-ups, levels above the datum, the closure.

At every set-up the height of the instrument is the level of a known point plus the backsight on
it; every other point lies a foresight below that height. A book that ends on a point it knew
before closes; what it then misses is spread over the set-ups in equal parts, where it is allowed.
Common practice on building sites, no source.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from eavewell.faults import BadRecord
from eavewell.tables import table


@dataclass(frozen=True, slots=True)
class Reading:
    """One line of the book; a turning point has both readings.

    back_m : on a point whose level is known. fore_m : on a point whose level is asked.
    """

    point: str
    back_m: float | None = None
    fore_m: float | None = None


@dataclass(frozen=True, slots=True)
class Levelled:
    """The levels of a book.

    instrument_m : height of the instrument at each set-up. levels_m : of each line, spread.
    misclosure_m : what the loop misses; None where it does not close. allowed_m : at most.
    """

    instrument_m: tuple[float, ...]
    levels_m: tuple[float, ...]
    misclosure_m: float | None
    allowed_m: float

    @property
    def closes(self) -> bool:
        """True where the loop closes within what is allowed."""
        return self.misclosure_m is not None and abs(self.misclosure_m) <= self.allowed_m + 1e-9


def allowed_misclosure_m(set_ups: int) -> float:
    """What a loop of so many set-ups may miss."""
    return table("field_levels")["misclosure a set-up"].value / 1000.0 * sqrt(set_ups)


def levelled(book: Sequence[Reading], *, datum_m: float = 0.0) -> Levelled:
    """The level of every line of a book; the first line is the backsight on the datum.

    Raises BadRecord with a sentence for a book that hangs together nowhere.
    """
    if not book or book[0].back_m is None:
        raise BadRecord("The book must begin with a backsight on the datum.")
    known, heights = {book[0].point: datum_m}, list[float]()
    raw: list[tuple[float, int]] = []
    missed: float | None = None
    for row, one in enumerate(book):
        level = _level(one, heights, known=known, row=row)
        if one.fore_m is not None:
            missed = level - known[one.point] if one.point in known else None
            known.setdefault(one.point, level)
        raw.append((level, len(heights)))
        if one.back_m is not None:
            heights.append(level + one.back_m)
    allowed = allowed_misclosure_m(len(heights))
    made = Levelled(tuple(heights), tuple(level for level, _ in raw), missed, allowed)
    if missed is None or not made.closes:
        return made
    spread = tuple(level - missed * at / len(heights) for level, at in raw)
    return Levelled(made.instrument_m, spread, missed, allowed)


def _level(one: Reading, heights: list[float], *, known: dict[str, float], row: int) -> float:
    if one.fore_m is not None:
        if not heights:
            raise BadRecord("The book must begin with a backsight on the datum.")
        return heights[-1] - one.fore_m
    if one.back_m is None:
        raise BadRecord(f"Line {row + 1} of the book has no reading.")
    if one.point not in known:
        raise BadRecord(f"Line {row + 1}: a backsight on '{one.point}', whose level is not known.")
    return known[one.point]
