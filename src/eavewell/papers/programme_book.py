"""A programme as a workbook: by size, by district, by record, other ways, rows not screened."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from eavewell.papers.books import Cell, Column, Page, book
from eavewell.papers.programme import few_districts_told, invented_words
from eavewell.site.place import Show
from eavewell.tables.texts import words
from eavewell.units import convert

WORDS = words("programme")
Plain = Mapping[str, Any]
ENDS = ("low", "typical", "high")
SUMS = ("wanted_l_year", "supplied_l_year", "kept_l_year", "spilled_l_year", "make_up_l_year")


def programme_book(told: Plain, *, day: date, system: Show) -> bytes:
    """The workbook of a programme; groups of few roofs stand in the rest.

    told : a programme as plain data. day : of the run, which is printed.
    """
    whole = {**told["whole"], "name": told["name"]}
    by_district = _lines(told, WORDS.say("book.districts"), lines=told["districts"], system=system)
    few = " ".join((by_district.note, *few_districts_told(told))).strip()
    pages = [
        _lines(told, WORDS.say("book.sizes"), lines=[whole], system=system),
        replace(by_district, note=few),
        _lines(told, WORDS.say("book.records"), lines=told["records"], system=system),
        _ways(told),
        _bad(told),
    ]
    return book([one for one in pages if one.rows], site=told["name"], day=day, system=system)


def _page(
    told: Plain, name: str, *, columns: Sequence[Column], rows: Iterable[tuple[Cell, ...]]
) -> Page:
    made = WORDS.say("book.made", eavewell=told["eavewell"], day=told["day"])
    return Page(
        name,
        WORDS.say("book.title", name=told["name"], page=name),
        " ".join((WORDS.say("book.note", made=made), *invented_words(told))),
        tuple(columns),
        tuple(rows),
    )


def _lines(told: Plain, name: str, *, lines: Sequence[Plain], system: Show) -> Page:
    unit, much = ("gal", "acre-ft") if system == "us" else ("L", "m3")
    has_days = any("from" in line for line in lines)
    columns = (
        Column(WORDS.say("book.group"), 22),
        *(_days_columns(system) if has_days else ()),
        Column(WORDS.say("book.roofs"), 10, "number"),
        Column(WORDS.say("book.tank", unit=unit), 9, "number"),
        Column(WORDS.say("book.reach"), 8, "number"),
        *(Column(words_, 9, "share") for words_ in _shares()),
        Column(WORDS.say("book.run"), 11, "number"),
        *(Column(words_, 11, "number") for words_ in _volumes(much)),
        *(Column(words_, 12, "whole") for words_ in _monies(told["currency"])),
    )
    rows = [row for line in lines for row in _rows(told, line, system=system, units=(unit, much))]
    return _page(told, name, columns=columns, rows=rows)


def _days_columns(system: Show) -> tuple[Column, ...]:
    unit = "mi" if system == "us" else "km"
    return (
        Column(WORDS.say("book.from"), 11),
        Column(WORDS.say("book.to"), 11),
        Column(WORDS.say("book.farthest", unit=unit), 9, "number"),
    )


def _shares() -> tuple[str, ...]:
    return (
        WORDS.say("book.supplied"),
        WORDS.say("book.low"),
        WORDS.say("book.high"),
        WORDS.say("book.days"),
    )


def _volumes(unit: str) -> tuple[str, ...]:
    return (
        WORDS.say("book.wanted", unit=unit),
        WORDS.say("book.given", unit=unit),
        WORDS.say("book.kept", unit=unit),
        WORDS.say("book.spilled", unit=unit),
        WORDS.say("book.mains", unit=unit),
    )


def _monies(currency: str) -> tuple[str, ...]:
    return (
        *(WORDS.say("book.first", end=end, currency=currency) for end in ENDS),
        *(WORDS.say("book.yearly", end=end, currency=currency) for end in ENDS),
    )


def _rows(
    told: Plain, line: Plain, *, system: Show, units: tuple[str, str]
) -> Iterable[tuple[Cell, ...]]:
    days = _days(line, system) if "from" in line else ()
    if not line["sizes"]:
        empty = 1 + 1 + 4 + 1 + len(SUMS) + 2 * len(ENDS)
        yield (line["name"], *days, WORDS.say("in_rest"), *(None,) * empty)
        return
    unit, much = units
    for one in line["sizes"]:
        yield (
            line["name"],
            *days,
            one["roofs"],
            round(convert(one["size_l"], "volume", unit=unit), 2),
            one["reaching"],
            *(one[name] for name in ("supplied_share", "share_low", "share_high")),
            one["days_met_share"],
            one["half_run_days"],
            *(convert(one["sums"][name], "volume", unit=much) for name in SUMS),
            *_money(one["cost"]),
        )


def _days(line: Plain, system: Show) -> tuple[Cell, ...]:
    far = line["farthest_km"]
    unit = "mi" if system == "us" else "km"
    return line["from"], line["to"], None if far is None else convert(far, "distance", unit=unit)


def _money(cost: Plain | None) -> tuple[Cell, ...]:
    if cost is None:
        return (None,) * (2 * len(ENDS))
    return tuple(cost[what][end] for what in ("first", "yearly") for end in ENDS)


def _ways(told: Plain) -> Page:
    money = told["currency"]
    columns = (
        Column(WORDS.say("book.group"), 22),
        Column(WORDS.say("book.way"), 22),
        *(
            Column(WORDS.say("book.way_first", end=end, currency=money), 12, "whole")
            for end in ENDS
        ),
        *(
            Column(WORDS.say("book.way_yearly", end=end, currency=money), 12, "whole")
            for end in ENDS
        ),
        Column(WORDS.say("book.rests"), 50),
    )
    rows = [
        (
            one["group"] or told["name"],
            one["way"],
            *(one["first"][end] for end in ENDS),
            *(one["yearly"][end] for end in ENDS),
            one["says"],
        )
        for one in told["ways"]
    ]
    return _page(told, WORDS.say("book.ways"), columns=columns, rows=rows)


def _bad(told: Plain) -> Page:
    columns = (
        Column(WORDS.say("book.reason"), 60),
        Column(WORDS.say("book.rows"), 10, "number"),
    )
    rows = [(one["reason"], one["rows"]) for one in told["bad"]]
    return _page(told, WORDS.say("book.bad"), columns=columns, rows=rows)
