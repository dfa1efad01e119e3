"""Lists and small tables of a site file as rows of cells to fill in, and back."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType

from eavewell.faults import BadQuantity


@dataclass(frozen=True, slots=True)
class Columns:
    """How a kind of list is laid out.

    heads   : what stands above each column. numbers : the columns that are bare numbers.
    by_name : True where the first column names the second, as in { "90 elbow" = 3 }.
    dates   : True where every cell is a date.
    """

    heads: tuple[str, ...]
    numbers: frozenset[int] = frozenset()
    by_name: bool = False
    dates: bool = False


ROWS: Mapping[str, Columns] = MappingProxyType(
    {
        "names": Columns(("Name",)),
        "levels": Columns(("Level",)),
        "volumes": Columns(("Volume",)),
        "areas": Columns(("Area",)),
        "shares": Columns(("Share",)),
        "counts": Columns(("Number",), frozenset({0})),
        "factors": Columns(("Factor",), frozenset({0})),
        "seasons": Columns(("From, such as 05-15", "To, such as 09-30")),
        "dates": Columns(("From, such as 2027-07-01", "To"), dates=True),
        "corners": Columns(("x", "y"), frozenset({0, 1})),
        "curve": Columns(("Flow, such as 20 gal/min", "Head, such as 15 ft")),
        "strapping": Columns(("Depth, such as 1 ft", "Volume, such as 375 gal")),
        "known levels": Columns(("What it said", "Level, such as 4 ft"), frozenset({0})),
        "fittings": Columns(("Fitting", "How many"), frozenset({1}), by_name=True),
        "distances": Columns(("To what", "How far, such as 60 ft"), by_name=True),
    }
)
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def rows_of(raw: object, columns: Columns) -> tuple[tuple[str, ...], ...] | None:
    """The rows of a list as it stands in the file; None where it has another shape."""
    if columns.by_name:
        given = [list(one) for one in raw.items()] if isinstance(raw, dict) else None
    elif len(columns.heads) == 1:
        given = [[one] for one in (raw if isinstance(raw, list) else [raw])]
    else:
        given = raw if isinstance(raw, list) else None
    if raw is None:
        return ()
    if given is None or not all(_fits(one, columns) for one in given):
        return None
    return tuple(tuple(str(cell) for cell in one) for one in given)


def _fits(row: object, columns: Columns) -> bool:
    return isinstance(row, list) and len(row) == len(columns.heads) and not _nested(row)


def _nested(row: Sequence[object]) -> bool:
    return any(isinstance(cell, (list, dict)) for cell in row)


def list_from(cells: Sequence[str], columns: Columns) -> object:
    """What the file should say for rows as they were typed; None where all are empty.

    Raises BadQuantity for a row that is filled in half, or twice of one name.
    """
    wide = len(columns.heads)
    rows = [[one.strip() for one in cells[at : at + wide]] for at in range(0, len(cells), wide)]
    rows = [row for row in rows if any(row)]
    if not rows:
        return None
    for number, row in enumerate(rows, 1):
        if not all(row) or len(row) != wide:
            raise BadQuantity(
                f"Row {number} is half empty: fill it in, or empty it to take it out."
            )
    told = [[_cell(one, columns, column=column) for column, one in enumerate(row)] for row in rows]
    if columns.by_name:
        if len({row[0] for row in rows}) < len(rows):
            raise BadQuantity("One name stands in two rows: keep one of them.")
        return {str(name): value for name, value in told}
    return [row[0] for row in told] if wide == 1 else told


def _cell(typed: str, columns: Columns, *, column: int) -> object:
    if column in columns.numbers:
        return number(typed)
    return day(typed) if columns.dates else typed


def number(typed: str) -> int | float:
    """A bare number; BadQuantity where it is none."""
    plain = typed.replace("−", "-").replace(" ", "")
    try:
        return int(plain) if plain.lstrip("+-").isdecimal() else float(plain)
    except ValueError:
        raise BadQuantity(f"'{typed}' is not a number such as 12 or 0.5.") from None


def day(typed: str) -> date:
    """A date; BadQuantity where it is none."""
    try:
        return date.fromisoformat(typed)
    except ValueError:
        raise BadQuantity(f"'{typed}' is not a date such as 2027-07-01.") from None
