"""The order of a workshop as a workbook, what is to be ordered as a formula."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from eavewell.papers.books import Column, Formula, Page, book, first_row
from eavewell.papers.workshop import size_of
from eavewell.site.place import Show
from eavewell.tables.texts import words
from eavewell.units import convert

WORDS = words("workshop")
Plain = Mapping[str, Any]
_IN = {("m", "us"): ("length", 1.0, "ft"), ("m2", "us"): ("area", 1.0, "ft2")}


def order_book(told: Plain, *, day: date) -> bytes:
    """One sheet: every part of all kits with spares; told : a workshop as plain data."""
    system: Show = told["system"]
    made = WORDS.say("book.made", eavewell=told["eavewell"], day=day.isoformat())
    name = WORDS.say("book.order")
    page = Page(
        name,
        WORDS.say("book.title", name=told["kit"], page=name),
        WORDS.say("book.note", kits=told["kits"], kit=told["kit"], made=made),
        (
            Column(WORDS.say("book.part"), 24),
            Column(WORDS.say("book.size"), 14),
            Column(WORDS.say("book.needed"), 9, "number"),
            Column(WORDS.say("book.spares"), 9, "number"),
            Column(WORDS.say("book.all"), 9, "number"),
            Column(WORDS.say("book.unit"), 7),
            Column(WORDS.say("book.pieces"), 9, "number"),
            Column(WORDS.say("book.joins"), 40),
        ),
        tuple(_row(one, row, system=system) for row, one in enumerate(told["order"], first_row())),
    )
    return book((page,), site=told["kit"], day=day, system=system)


def _row(one: Plain, row: int, *, system: Show) -> tuple[Any, ...]:
    quantity, inside, unit = _IN.get((one["unit"], system), ("", 1.0, one["unit"]))
    times = convert(inside, quantity, unit=unit) if quantity else 1.0
    count, spares = one["count"] * times, one["spares"] * times
    return (
        one["part"],
        size_of(one, system),
        count,
        spares,
        Formula(f"=C{row}+D{row}", count + spares),
        unit,
        one["stock_pieces"],
        one["joins"],
    )
