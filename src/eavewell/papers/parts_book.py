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
        Column("where you stand", 14),
        Column("for", 20),
        Column("part", 16),
        Column("size", 10),
        Column("count", 7, "number"),
        Column("spares", 7, "number"),
        Column("to have", 7, "number"),
        Column("in", 5),
        Column("there already", 7),
        *(Column(f"{money} for one, {end}", 9, "money") for end in ENDS),
        *(Column(f"{money} for all, {end}", 10, "money") for end in ENDS),
        Column("joins", 18),
        Column("look for", 18),
        Column("price from", 14),
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
    )


def _place_row(one: Plain, row: int, *, system: Show) -> tuple[Any, ...]:
    times, unit = _unit(one["unit"], system)
    each = one["each"]
    prices = [None if each[end] is None else each[end] / times for end in ENDS]
    totals = [
        None
        if one["price"][end] is None
        else Formula(f'=IF($I{row}="yes",0,$G{row}*{letter(9 + k)}{row})', one["price"][end])
        for k, end in enumerate(ENDS)
    ]
    return (
        one["stand"],
        one["where"],
        one["part"],
        _size(one, system),
        *_counts(one, row, times=times, at=4),
        unit,
        "yes" if one["there"] else "",
        *prices,
        *totals,
        one["joins"],
        one["says"],
        _from(one),
    )


def _counts(one: Plain, row: int, *, times: float, at: int) -> tuple[Any, ...]:
    """Count, spares and both together; a count that nobody knows stays a word."""
    count, spares = one["count"] * times, one["spares"] * times
    both = Formula(f"=N({letter(at)}{row})+N({letter(at + 1)}{row})", count + spares)
    return ("unknown" if count == 0.0 else count, spares, both)


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
        for at, end in enumerate(ENDS, 12):
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
        Column("part", 20),
        Column("size", 12),
        Column("count", 8, "number"),
        Column("spares", 8, "number"),
        Column("to buy", 8, "number"),
        Column("in", 6),
        Column("stock lengths", 8, "number"),
        Column("joins", 24),
        Column("look for", 26),
        Column(f"{money} for one, as quoted", 12, "blank"),
        Column(f"{money} for all", 12, "money"),
        Column("quoted by, on", 18),
        Column(f"{money} for one, typical", 9, "money"),
        Column(f"{money} for all, typical", 10, "money"),
    )
    parts = answer["cost"]["parts"]
    listed = tuple(
        _order_row(one, row, parts=parts, system=system)
        for row, one in enumerate(order, first_row())
    )
    last = first_row() + len(order) - 1
    whole = Formula(f"=SUM(K{first_row()}:K{last})", 0.0)
    reckoned = [_reckoned(one, parts, system=system) for one in order]
    told = sum(
        _bought(one, system) * (each or 0.0) for one, each in zip(order, reckoned, strict=True)
    )
    typical = Formula(f"=SUM(N{first_row()}:N{last})", told)
    sums = ("as quoted so far; typical", *(None,) * 9, whole, None, None, typical)
    note = f"Equal parts of all places together. Write quoted prices in. {SCREENING} {made}"
    title = f"{answer['site']}: order"
    return Page("order", title, note, columns, listed, (sums,) if order else ())


def _reckoned(one: Plain, parts: list[Plain], *, system: Show) -> float | None:
    """Typical price of one, as the parts by place of that name and size have it."""
    alike = (one["part"], _size(one, system))
    times, _ = _unit(one["unit"], system)
    found = [
        part["each"]["typical"] / times
        for part in parts
        if (part["part"], _size(part, system)) == alike and part["each"]["typical"] is not None
    ]
    return sum(found) / len(found) if found else None


def _bought(one: Plain, system: Show) -> float:
    times, _ = _unit(one["unit"], system)
    return float((one["count"] + one["spares"]) * times)


def _looked_up(row: int, parts: list[Plain]) -> str:
    """The formula of that price, from the sheet of the parts by place."""
    last = first_row() + len(parts) - 1
    part, size, each = (
        f"'parts by place'!${name}${first_row()}:${name}${last}" for name in ("C", "D", "K")
    )
    alike = f"({part}=$A{row})*({size}=$B{row})*ISNUMBER({each})"
    return f'=IF(SUMPRODUCT({alike})=0,"",SUMPRODUCT({alike},{each})/SUMPRODUCT({alike}))'


def _order_row(one: Plain, row: int, *, parts: list[Plain], system: Show) -> tuple[Any, ...]:
    times, unit = _unit(one["unit"], system)
    each = _reckoned(one, parts, system=system)
    dear = "" if each is None else _bought(one, system) * each
    return (
        one["part"],
        _size(one, system),
        *_counts(one, row, times=times, at=2),
        unit,
        one["stock_pieces"] or None,
        one["joins"],
        one["says"],
        None,
        Formula(f'=IF(J{row}="","",E{row}*J{row})', ""),
        None,
        Formula(_looked_up(row, parts), "" if each is None else each),
        Formula(f'=IF(M{row}="","",E{row}*M{row})', dear),
    )


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
