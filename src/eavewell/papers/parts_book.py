"""The parts list as a workbook: by place with prices, as one order, and cut by cut."""

from collections.abc import Mapping
from datetime import date
from functools import cache
from typing import Any

from eavewell.papers.books import Column, Formula, Page, book, first_row, letter
from eavewell.site.place import Show
from eavewell.tables import rows
from eavewell.units import convert, show

Plain = Mapping[str, Any]
ENDS = ("low", "typical", "high")
# unit of a part -> quantity, its internal units in one, and what it is counted in here
_COUNTED = {
    ("m", "us"): ("length", 1.0, "ft"),
    ("m2", "us"): ("area", 1.0, "ft2"),
    ("m3", "us"): ("volume", 1000.0, "yd3"),
}
# columns of the parts by place: prices of one, low first; prices of all
EACH, FOR_ALL = 12, {"low": 15, "typical": 9, "high": 16}
UNKNOWN = "unknown"
_MEASURES = {"L": "volume", "W": "power"}
SCREENING = "Counts come from the site file: measure on site before you buy."


def parts_book(answer: Plain, *, system: Show, day: date) -> bytes:
    """Three sheets: parts by place, order, cut list.

    answer : a design as plain data. day : day of the run, which is printed.
    """
    made = f"Eavewell {answer['eavewell']}, {day.isoformat()}"
    pages = (
        _by_place(answer, made, system=system),
        _order(answer, made, system=system),
        _cuts(answer, made, system=system),
    )
    return book(pages, site=answer["site"], day=day, system=system)


def _by_place(answer: Plain, made: str, *, system: Show) -> Page:
    cost = answer["cost"]
    money = cost["currency"]
    columns = (
        Column("where you stand", 16),
        Column("for", 22),
        Column("part", 17),
        Column("size", 10),
        Column("to have", 8, "number"),
        Column("in", 6),
        Column("there already", 8),
        Column("joins", 26),
        Column("look for", 20),
        Column(f"{money} for all, typical", 10, "money"),
        Column("count", 8, "number"),
        Column("spares", 8, "number"),
        *(Column(f"{money} for one, {end}", 10, "money") for end in ENDS),
        Column(f"{money} for all, low", 10, "money"),
        Column(f"{money} for all, high", 10, "money"),
        Column("price from", 70),
    )
    listed = tuple(
        _place_row(one, row, system=system) for row, one in enumerate(cost["parts"], first_row())
    )
    return Page(
        "parts by place",
        f"{answer['site']}: parts by place",
        f"{SCREENING} {_prices(cost)} {made}",
        columns,
        listed,
        _place_sums(cost, columns=len(columns)),
        printed=10,
        upright=True,
    )


def _place_row(one: Plain, row: int, *, system: Show) -> tuple[Any, ...]:
    times, unit = _unit(one["unit"], system)
    totals = {end: _for_all(one, row, end=end) for end in ENDS}
    return (
        one["stand"],
        one["where"],
        one["part"],
        _size(one, system),
        _together(one, row, times=times, at="KL"),
        unit,
        "yes" if one["there"] else "",
        one["joins"],
        one["says"],
        totals["typical"],
        *_counts(one, times),
        *_each(one, times),
        totals["low"],
        totals["high"],
        _from(one),
    )


def _each(one: Plain, times: float) -> list[float | None]:
    """Prices of one, low to high; nothing where there is no price."""
    return [None if one["each"][end] is None else one["each"][end] / times for end in ENDS]


def _for_all(one: Plain, row: int, *, end: str) -> Formula | None:
    """What all of it costs; nothing for what is there already."""
    if one["price"][end] is None:
        return None
    each = letter(EACH + ENDS.index(end))
    return Formula(f'=IF($G{row}="yes",0,N($E{row})*{each}{row})', one["price"][end])


def _counts(one: Plain, times: float) -> tuple[float | str, float]:
    """Count and spares; a count that nobody knows stays a word."""
    return one["count"] * times or UNKNOWN, one["spares"] * times


def _together(one: Plain, row: int, *, times: float, at: str) -> Formula:
    """Count and spares as one; at : their two columns."""
    count, spares = (f"{column}{row}" for column in at)
    both = (one["count"] + one["spares"]) * times
    says = f'=IF(ISNUMBER({count}),{count}+{spares},"{UNKNOWN}")'
    return Formula(says, both if one["count"] else UNKNOWN)


def _place_sums(cost: Plain, *, columns: int) -> tuple[tuple[Any, ...], ...]:
    """Of each place to stand, and of all."""
    parts = cost["parts"]
    last = first_row() + len(parts) - 1
    stands = list(dict.fromkeys(one["stand"] for one in parts))

    if not parts:
        return ()
    where = f"$A${first_row()}:$A${last}"

    def summed(words: str, row: int, *, of: list[Plain]) -> tuple[Any, ...]:
        cells: list[Any] = [None] * columns
        cells[0] = words
        for end, at in FOR_ALL.items():
            column = f"{letter(at)}${first_row()}:{letter(at)}${last}"
            says = f"=SUM({column})" if of is parts else f"=SUMIF({where},$A{row},{column})"
            cells[at] = Formula(says, sum(one["price"][end] or 0.0 for one in of))
        return tuple(cells)

    by_stand = [
        summed(stand, row, of=[one for one in parts if one["stand"] == stand])
        for row, stand in enumerate(stands, last + 1)
    ]
    return (*by_stand, summed("everything, spares included, labour left out", 0, of=parts))


def _order(answer: Plain, made: str, *, system: Show) -> Page:
    order, money = answer["cost"]["order"], answer["cost"]["currency"]
    columns = (
        Column("part", 18),
        Column("size", 10),
        Column("to buy", 9, "number"),
        Column("in", 6),
        Column("stock lengths", 8, "number"),
        Column("joins", 27),
        Column("look for", 24),
        Column(f"{money} for one, typical", 10, "money"),
        Column(f"{money} for all, typical", 10, "money"),
        Column(f"{money} for one, as quoted", 10, "blank"),
        Column(f"{money} for all, as quoted", 10, "money"),
        Column("quoted by, on", 15),
        Column("count", 8, "number"),
        Column("spares", 8, "number"),
    )
    listed = tuple(
        _order_row(one, row, system=system) for row, one in enumerate(order, first_row())
    )
    note = f"Equal parts of all places together. Write quoted prices in. {SCREENING} {made}"
    title = f"{answer['site']}: order"
    sums = (_order_sums(answer["cost"]),) if order else ()
    return Page("order", title, note, columns, listed, sums, printed=12)


def _order_sums(cost: Plain) -> tuple[Any, ...]:
    """What the whole order costs, as usual and as quoted so far."""
    last = first_row() + len(cost["order"]) - 1
    typical, quoted = (
        Formula(f"=SUM({column}{first_row()}:{column}{last})", value)
        for column, value in (("I", cost["ordered"]["typical"] or 0.0), ("K", 0.0))
    )
    return ("all that has a price", *(None,) * 7, typical, None, quoted, *(None,) * 3)


def _order_row(one: Plain, row: int, *, system: Show) -> tuple[Any, ...]:
    times, unit = _unit(one["unit"], system)
    typical = one["price"]["typical"]
    return (
        one["part"],
        _size(one, system),
        _together(one, row, times=times, at="MN"),
        unit,
        one["stock_pieces"] or None,
        one["joins"],
        one["says"],
        _each(one, times)[ENDS.index("typical")],
        Formula(_times("C", "H", row=row), "" if typical is None else typical),
        None,
        Formula(_times("C", "J", row=row), ""),
        None,
        *_counts(one, times),
    )


def _times(many: str, each: str, *, row: int) -> str:
    """The formula of so many at that price; nothing where either is not known."""
    return f'=IF(N({many}{row})*N({each}{row})=0,"",{many}{row}*{each}{row})'


def _cuts(answer: Plain, made: str, *, system: Show) -> Page:
    """One row a stock length: what is cut from it, and what is left."""
    cut = [(one, cuts["cuts_m"]) for one in answer["cost"]["order"] for cuts in one["pieces"]]
    most = max((len(cuts) for _, cuts in cut), default=1)
    times, unit = _unit("m", system)
    columns = (
        Column("part", 20),
        Column("size", 12),
        Column(f"stock, {unit}", 9, "number"),
        *(Column(f"cut {k}, {unit}", 8, "number") for k in range(1, most + 1)),
        Column(f"cut in all, {unit}", 9, "number"),
        Column(f"left, {unit}", 9, "number"),
    )
    listed = tuple(
        _cut_row(one, [length * times for length in cuts], row=row, most=most, system=system)
        for row, (one, cuts) in enumerate(cut, first_row())
    )
    note = f"One row a stock length or coil; the saw's width is not taken off. {SCREENING} {made}"
    return Page("cut list", f"{answer['site']}: cut list", note, columns, listed)


def _cut_row(
    one: Plain, cuts: list[float], *, row: int, most: int, system: Show
) -> tuple[Any, ...]:
    times, _ = _unit("m", system)
    stock, used, at = one["stock_m"] * times, sum(cuts), 3 + most
    return (
        one["part"],
        _size(one, system),
        stock,
        *cuts,
        *(None,) * (most - len(cuts)),
        Formula(f"=SUM(D{row}:{letter(at - 1)}{row})", used),
        Formula(f"=C{row}-{letter(at)}{row}", stock - used),
    )


def _unit(unit: str, system: Show) -> tuple[float, str]:
    """How many of the reader's units one of the answer's is, and their name."""
    if (unit, system) not in _COUNTED:
        return 1.0, unit
    quantity, inside, name = _COUNTED[unit, system]
    return convert(inside, quantity, unit=name), name


def _size(one: Plain, system: Show) -> str:
    measure = _measures()[one["part"]]
    if one["called"] or one["size"] is None or measure not in _MEASURES:
        return str(one["called"])
    return show(one["size"], _MEASURES[measure], system=system)


@cache
def _measures() -> dict[str, str]:
    return {row["part"]: row["measure"] for row in rows("parts")}


def _from(one: Plain) -> str:
    if one["each"]["typical"] is None:
        return "no price known"
    return str(one["price_source"]) + ("; size beyond its prices" if one["stretched"] else "")


def _prices(cost: Plain) -> str:
    """How old the prices are and whether anybody saw them."""
    first, last = cost["price_year_first"], cost["price_year_last"]
    if first is None:
        return f"No part has a price in {cost['currency']}."
    years = str(first) if first == last else f"{first} to {last}"
    memory = ", some from memory: check them" if cost["from_memory"] else ""
    return f"Prices of {years}{memory}."
