"""Mains water that was metered before and after the tanks, with homes that got none beside it."""

import re
from calendar import monthrange
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from eavewell.district.blocks import Block, blocks
from eavewell.district.grouped import few, smallest_group
from eavewell.faults import BadQuantity, BadRoofs, EavewellFault, Fault
from eavewell.units import read

WITH, WITHOUT = "with tanks", "without tanks"
BEFORE, AFTER = "before", "after"
_DATE = re.compile(r"(\d{4})-(0[1-9]|1[0-2])(-(0[1-9]|[12]\d|3[01]))?")
_USE = re.compile(r"use_?[\[(]?(?P<unit>[A-Za-z0-9]*)[\])]?")
_NEEDED = ("homes", "when", "date", "count")
# homes, when, month of the year -> litres of a home
_Cells = dict[tuple[str, str, int], float]


@dataclass(frozen=True, slots=True)
class Metered:
    """What the meters say that a home with a tank saved.

    homes     : that have tanks, the fewest of any row. compared : whether homes without tanks
    stand beside them, by which the weather is taken out. months : of the year that are told.
    saved_l   : of all those months. peak_month : 1 to 12, in which most would have been used.
    peak_day  : the day on which the others used most, and what a home with a tank saved on it;
    "" and None where there are no days.
    """

    homes: int
    compared: bool
    months: tuple[int, ...]
    saved_l: float
    peak_month: int
    peak_month_saved_l: float
    peak_day: str = ""
    peak_day_saved_l: float | None = None


@dataclass(frozen=True, slots=True)
class _Row:
    homes: str
    when: str
    date: str
    count: int
    use_l: float

    @property
    def month(self) -> int:
        return int(self.date[5:7])


def read_metered(path: Path) -> Metered:
    """Read a table of metered mains water and what follows from it.

    Its columns: homes ("with tanks" or "without tanks"), when ("before" or "after" the tanks),
    date (2024-07 or 2024-07-15), count (homes of the row) and use_gal or the like (of all of
    them together). Raises BadRoofs with every fault of the table.
    """
    rows, faults = list[_Row](), list[Fault]()
    for block in blocks(path, example="homes, when, date, count, use_gal"):
        _check(block, path)
        for at in range(block.rows):
            try:
                rows.append(_row(block, at))
            except EavewellFault as refused:
                says = refused.faults[0].says
                faults.append(Fault(says, file=str(path), line=block.first + at + 1))
    faults += [Fault(says, file=str(path)) for says in _too_little(rows)] if not faults else []
    if faults:
        raise BadRoofs(faults)
    return metered(rows)


def _check(block: Block, path: Path) -> None:
    missing = [name for name in _NEEDED if name not in block.columns]
    if not _use_column(block):
        missing.append("use_gal")
    if missing:
        says = f"The columns {', '.join(missing)} are missing: docs/district_file.md tells them."
        raise BadRoofs(Fault(says, file=str(path), line=1))


def _use_column(block: Block) -> str:
    return next((name for name in block.columns if _USE.fullmatch(name)), "")


def _row(block: Block, at: int) -> _Row:
    cells = {name: column[at] for name, column in block.columns.items()}
    homes, when, date = cells["homes"].lower(), cells["when"].lower(), cells["date"]
    for word, known in ((homes, (WITH, WITHOUT)), (when, (BEFORE, AFTER))):
        if word not in known:
            raise BadRoofs(f"{word!r} is neither {known[0]!r} nor {known[1]!r}.")
    if not _DATE.fullmatch(date):
        raise BadRoofs(f"{date!r} is no date such as 2024-07 or 2024-07-15.")
    count = cells["count"].replace(",", "")
    if not count.isdigit() or few(int(count)):
        raise BadRoofs(f"count {cells['count']!r}: fewer than {smallest_group()} are not told.")
    return _Row(homes, when, date, int(count), _use_l(block, cells))


def _use_l(block: Block, cells: Mapping[str, str]) -> float:
    own = _use_column(block)
    found = _USE.fullmatch(own)
    unit = found["unit"] if found else ""
    try:
        return read(f"{cells[own]} {unit}".strip(), "volume")
    except BadQuantity as refused:
        raise BadRoofs(f"use: {refused.faults[0].says}") from None


def _too_little(rows: list[_Row]) -> Iterator[str]:
    told = {(row.homes, row.when, row.month) for row in rows}
    if not any((WITH, BEFORE, m) in told and (WITH, AFTER, m) in told for m in range(1, 13)):
        yield f"No month of the year is told both {BEFORE} and {AFTER} for homes {WITH}."


def metered(rows: list[_Row]) -> Metered:
    """What a home with a tank would have used, less what it used.

    It would have used what it used before, changed as the homes without tanks changed from before
    to after in the same month of the year; where there are none, what it used before.
    """
    cells = _cells(rows)
    told = [m for m in range(1, 13) if {(WITH, BEFORE, m), (WITH, AFTER, m)} <= set(cells)]
    beside = [m for m in told if {(WITHOUT, BEFORE, m), (WITHOUT, AFTER, m)} <= set(cells)]
    months = tuple(beside or told)
    expected = {m: cells[WITH, BEFORE, m] * _change(cells, m) for m in months}
    saved = {m: expected[m] - cells[WITH, AFTER, m] for m in months}
    peak = max(months, key=lambda m: expected[m])
    day, day_l = _peak_day(rows, cells)
    return Metered(
        min(row.count for row in rows if row.homes == WITH),
        bool(beside),
        months,
        sum(saved.values()),
        peak,
        saved[peak],
        day,
        day_l,
    )


def _change(cells: _Cells, month: int) -> float:
    before = cells.get((WITHOUT, BEFORE, month), 0.0)
    after = cells.get((WITHOUT, AFTER, month))
    return 1.0 if after is None or not before else after / before


def _cells(rows: list[_Row]) -> _Cells:
    """Litres of one home in a mean month; years one by one.

    Rows of one date are put together. A month told by its days is their mean for all of its days.
    """
    found = dict[tuple[str, str, int], list[float]]()
    for (homes, when, month), each in _by_month(rows).items():
        days = monthrange(int(month[:4]), int(month[5:]))[1]
        whole = each.pop("", None)
        litres = days * sum(each.values()) / len(each) if whole is None else whole
        found.setdefault((homes, when, int(month[5:])), []).append(litres)
    return {key: sum(years) / len(years) for key, years in found.items()}


def _by_month(rows: list[_Row]) -> dict[tuple[str, str, str], dict[str, float]]:
    """Litres of one home by homes, when and month, then by the day, "" for the month itself."""
    sums = dict[tuple[str, str, str], list[float]]()
    for row in rows:
        use = sums.setdefault((row.homes, row.when, row.date), [0.0, 0.0])
        use[0] += row.use_l
        use[1] += row.count
    found = dict[tuple[str, str, str], dict[str, float]]()
    for (homes, when, date), (use_l, count) in sums.items():
        found.setdefault((homes, when, date[:7]), {})[date[8:]] = use_l / count
    return found


def _peak_day(rows: list[_Row], cells: _Cells) -> tuple[str, float | None]:
    """The day after the tanks on which homes without them used most."""
    days = {
        (homes, f"{month}-{day}"): each_l
        for (homes, when, month), each in _by_month(rows).items()
        for day, each_l in each.items()
        if day and when == AFTER
    }
    both = [
        date
        for homes, date in days
        if homes == WITHOUT
        and (WITH, date) in days
        and cells.get((WITHOUT, BEFORE, int(date[5:7])))
        and (WITH, BEFORE, int(date[5:7])) in cells
    ]
    if not both:
        return "", None
    peak = max(both, key=lambda date: days[WITHOUT, date])
    month = int(peak[5:7])
    ratio = cells[WITH, BEFORE, month] / cells[WITHOUT, BEFORE, month]
    return peak, days[WITHOUT, peak] * ratio - days[WITH, peak]
