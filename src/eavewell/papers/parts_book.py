"""The parts list as a workbook: by place with prices, as one order, and cut by cut."""

from collections.abc import Mapping
from datetime import date
from functools import cache
from typing import Any

from eavewell.papers.books import Column, Formula, Page, book, first_row, letter
from eavewell.site.place import Show
from eavewell.tables import rows
from eavewell.tables.texts import words
from eavewell.units import convert, show

WORDS = words("parts_list")
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
SCREENING = WORDS.say("book.screening")


def parts_book(answer: Plain, *, system: Show, day: date) -> bytes:
    """Three sheets: parts by place, order, cut list.

    answer : a design as plain data. day : day of the run, which is printed.
    """
    made = WORDS.say("book.page.eavewell", eavewell=answer["eavewell"], day=day.isoformat())
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
        Column(WORDS.say("book.by_place.where_you_stand"), 16),
        Column(WORDS.say("book.by_place.for"), 22),
        Column(WORDS.say("book.by_place.part"), 17),
        Column(WORDS.say("book.by_place.size"), 10),
        Column(WORDS.say("book.by_place.to_have"), 8, "number"),
        Column(WORDS.say("book.by_place.in"), 6),
        Column(WORDS.say("book.by_place.there_already"), 8),
        Column(WORDS.say("book.by_place.joins"), 26),
        Column(WORDS.say("book.by_place.look_for"), 20),
        Column(WORDS.say("book.by_place.for_all_typical", money=money), 10, "money"),
        Column(WORDS.say("book.by_place.count"), 8, "number"),
        Column(WORDS.say("book.by_place.spares"), 8, "number"),
        *(
            Column(WORDS.say("book.by_place.for_one", money=money, end=end), 10, "money")
            for end in ENDS
        ),
        Column(WORDS.say("book.by_place.for_all_low", money=money), 10, "money"),
        Column(WORDS.say("book.by_place.for_all_high", money=money), 10, "money"),
        Column(WORDS.say("book.by_place.price_from"), 70),
    )
    listed = tuple(
        _place_row(one, row, system=system) for row, one in enumerate(cost["parts"], first_row())
    )
    return Page(
        WORDS.say("book.by_place.parts_by_place"),
        WORDS.say("book.by_place.title", site=answer["site"]),
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
    return (
        *by_stand,
        summed(WORDS.say("book.place_sums.everything_spares_included_labour"), 0, of=parts),
    )


def _order(answer: Plain, made: str, *, system: Show) -> Page:
    order, money = answer["cost"]["order"], answer["cost"]["currency"]
    columns = (
        Column(WORDS.say("book.order.part"), 18),
        Column(WORDS.say("book.order.size"), 10),
        Column(WORDS.say("book.order.to_buy"), 9, "number"),
        Column(WORDS.say("book.order.in"), 6),
        Column(WORDS.say("book.order.stock_lengths"), 8, "number"),
        Column(WORDS.say("book.order.joins"), 27),
        Column(WORDS.say("book.order.look_for"), 24),
        Column(WORDS.say("book.order.for_one_typical", money=money), 10, "money"),
        Column(WORDS.say("book.order.for_all_typical", money=money), 10, "money"),
        Column(WORDS.say("book.order.for_one_as_quoted", money=money), 10, "blank"),
        Column(WORDS.say("book.order.for_all_as_quoted", money=money), 10, "money"),
        Column(WORDS.say("book.order.quoted_by_on"), 15),
        Column(WORDS.say("book.order.count"), 8, "number"),
        Column(WORDS.say("book.order.spares"), 8, "number"),
    )
    listed = tuple(
        _order_row(one, row, system=system) for row, one in enumerate(order, first_row())
    )
    note = WORDS.say("book.order.equal_parts_all_places", screening=SCREENING, made=made)
    title = WORDS.say("book.order.title", site=answer["site"])
    sums = (_order_sums(answer["cost"]),) if order else ()
    return Page(WORDS.say("book.order.sheet"), title, note, columns, listed, sums, printed=12)


def _order_sums(cost: Plain) -> tuple[Any, ...]:
    """What the whole order costs, as usual and as quoted so far."""
    last = first_row() + len(cost["order"]) - 1
    typical, quoted = (
        Formula(f"=SUM({column}{first_row()}:{column}{last})", value)
        for column, value in (("I", cost["ordered"]["typical"] or 0.0), ("K", 0.0))
    )
    return (
        WORDS.say("book.order_sums.all_that_has_price"),
        *(None,) * 7,
        typical,
        None,
        quoted,
        *(None,) * 3,
    )


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
        Column(WORDS.say("book.cuts.part"), 20),
        Column(WORDS.say("book.cuts.size"), 12),
        Column(WORDS.say("book.cuts.stock", unit=unit), 9, "number"),
        *(
            Column(WORDS.say("book.cuts.cut", k=k, unit=unit), 8, "number")
            for k in range(1, most + 1)
        ),
        Column(WORDS.say("book.cuts.cut_all", unit=unit), 9, "number"),
        Column(WORDS.say("book.cuts.left", unit=unit), 9, "number"),
    )
    listed = tuple(
        _cut_row(one, [length * times for length in cuts], row=row, most=most, system=system)
        for row, (one, cuts) in enumerate(cut, first_row())
    )
    note = WORDS.say("book.cuts.one_row_stock_length", screening=SCREENING, made=made)
    return Page(
        WORDS.say("book.cuts.cut_list"),
        WORDS.say("book.cuts.title", site=answer["site"]),
        note,
        columns,
        listed,
    )


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
        return WORDS.say("book.from.no_price_known")
    return str(one["price_source"]) + (
        WORDS.say("book.from.size_beyond_its_prices") if one["stretched"] else ""
    )


def _prices(cost: Plain) -> str:
    """How old the prices are and whether anybody saw them."""
    first, last = cost["price_year_first"], cost["price_year_last"]
    if first is None:
        return WORDS.say("book.prices.no_part_has_price", currency=cost["currency"])
    years = str(first) if first == last else WORDS.say("book.prices.to", first=first, last=last)
    memory = WORDS.say("book.prices.some_from_memory_check") if cost["from_memory"] else ""
    return WORDS.say("book.prices", years=years, memory=memory)
