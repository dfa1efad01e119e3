"""A long table a page at a time: what is wanted of it, in what order, found by lazy columns."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from math import ceil
from typing import TYPE_CHECKING, Any, Literal

from eavewell.answers.shown import day
from eavewell.faults import OutOfRange
from eavewell.papers.board import per_volume
from eavewell.report.cost import money
from eavewell.site.place import Show
from eavewell.units import show

if TYPE_CHECKING:
    import polars

PAGE_ROWS = 50
Finds = Literal["", "choice", "holds", "truth"]


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table that is looked through.

    key : of the data. head : its words.
    quantity : as units.py prints it; "" for words, "count", "day", "truth", "money" and "cost" (of
    a volume of water) for those.
    finds : how one looks for it: by one of its values, by letters
    that it holds, by yes or no; "" not at all.
    """

    key: str
    head: str
    quantity: str = ""
    finds: Finds = ""

    @property
    def is_figure(self) -> bool:
        """Whether it reads right."""
        return self.quantity not in ("", "day", "truth")


@dataclass(frozen=True, slots=True)
class Wanted:
    """What somebody wants to see of a table.

    sort  : key of the column that orders it; "" leaves its own order. falling : the largest first.
    where : key -> what is looked for. page : from 1.
    """

    sort: str = ""
    falling: bool = False
    page: int = 1
    where: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Seen:
    """One page of a table. found : rows of all pages; first : number of its first row, from 1."""

    rows: tuple[dict[str, Any], ...]
    found: int
    page: int
    pages: int

    @property
    def first(self) -> int:
        """Number of its first row, from 1; 0 where none is found."""
        return (self.page - 1) * PAGE_ROWS + 1 if self.rows else 0

    @property
    def last(self) -> int:
        """Number of its last row."""
        return self.first + len(self.rows) - 1 if self.rows else 0


def looked_through(frame: "polars.LazyFrame", wanted: Wanted, *, columns: Sequence[Column]) -> Seen:
    """One page of a table; a page past the last is the last.

    Rows alike in the column that orders them stay in the table's own order; what is not known
    stands last. Raises OutOfRange for a column that cannot be sorted or looked for.
    """
    import polars

    known = {one.key: one for one in columns}
    _refuse(wanted, known)
    for key, said in wanted.where.items():
        if said:
            frame = frame.filter(_filter(known[key], said))
    if wanted.sort:
        frame = frame.with_row_index("_at").sort(
            wanted.sort,
            "_at",
            descending=[wanted.falling, False],
            nulls_last=True,
        )
    found = int(frame.select(polars.len()).collect().item())
    pages = max(1, ceil(found / PAGE_ROWS))
    page = min(max(wanted.page, 1), pages)
    rows = frame.select(list(known)).slice((page - 1) * PAGE_ROWS, PAGE_ROWS).collect()
    return Seen(tuple(rows.to_dicts()), found, page, pages)


def choices_of(frame: "polars.LazyFrame", columns: Sequence[Column]) -> dict[str, list[str]]:
    """Every value of each column that is looked for by its values."""
    return {
        one.key: frame.select(one.key)
        .unique()
        .sort(one.key)
        .drop_nulls()
        .collect()[one.key]
        .to_list()
        for one in columns
        if one.finds == "choice"
    }


def frame_of(rows: Sequence[Mapping[str, Any]], columns: Sequence[Column]) -> "polars.LazyFrame":
    """Rows of data as a table; a list of words stands as one text."""
    import polars

    kinds = {
        "": polars.String,
        "day": polars.String,
        "truth": polars.Boolean,
        "count": polars.Int64,
    }
    told = {one.key: [_plain(row[one.key]) for row in rows] for one in columns}
    known = {one.key: kinds.get(one.quantity, polars.Float64) for one in columns}
    return polars.DataFrame(told, schema=known).lazy()


def _plain(value: Any) -> Any:
    return ", ".join(value) if isinstance(value, list) else value


def in_words(
    row: Mapping[str, Any], columns: Sequence[Column], *, system: Show, currency: str
) -> tuple[str, ...]:
    """A row as printed; a dash for what is not known."""
    return tuple(_cell(row[one.key], one, system=system, currency=currency) for one in columns)


def _cell(value: Any, column: Column, *, system: Show, currency: str) -> str:
    if value is None:
        return "-"
    kinds: Mapping[str, Callable[[Any], str]] = {
        "": str,
        "day": day,
        "truth": lambda yes: "yes" if yes else "no",
        "count": lambda number: f"{number:,}",
        "money": money,
        "cost": lambda per_m3: per_volume(per_m3, currency, system=system),
    }
    if column.quantity in kinds:
        return kinds[column.quantity](value)
    return show(value, column.quantity, system=system)


def _refuse(wanted: Wanted, known: Mapping[str, Column]) -> None:
    if wanted.sort and wanted.sort not in known:
        raise OutOfRange(f"There is no column {wanted.sort[:40]!r} to sort by.")
    for key in wanted.where:
        if key not in known or not known[key].finds:
            raise OutOfRange(f"Nothing can be looked for by {key[:40]!r}.")


def _filter(column: Column, said: str) -> "polars.Expr":
    import polars

    if column.finds == "truth":
        if said not in ("yes", "no"):
            raise OutOfRange(f"{column.head}: {said[:40]!r} must be yes or no.")
        return polars.col(column.key) == (said == "yes")
    if column.finds == "choice":
        return polars.col(column.key) == said
    return polars.col(column.key).str.to_lowercase().str.contains(said.lower(), literal=True)
