"""The order with its prices: equal parts of all places together, with what is bought beside."""

from collections.abc import Iterable
from dataclasses import dataclass

from eavewell.cost.band import Band, total
from eavewell.cost.quotes import Quote, quote, shelved
from eavewell.site.money import PriceBook
from eavewell.site.part import Part


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One line of the order.

    each  : one unit of it; None where the book has no price.
    price : all of it, spares included; None without a price and where nobody knows how many.
    """

    part: Part
    each: Band | None
    price: Band | None


@dataclass(frozen=True, slots=True)
class Ordered:
    """Every line; whole : all lines that have a price, None where none has."""

    lines: tuple[OrderLine, ...]
    whole: Band | None


def price_order(order: Iterable[Part], book: PriceBook) -> Ordered:
    """Price what is to be bought; what is there already is no part of an order."""
    shelf = shelved(book)
    lines = tuple(_line(part, quote(shelf, part.part, size=part.size)) for part in order)
    prices = [line.price for line in lines if line.price is not None]
    return Ordered(lines, total(prices) if prices else None)


def _line(part: Part, quoted: Quote | None) -> OrderLine:
    if quoted is None:
        return OrderLine(part, None, None)
    price = quoted.each.times(part.count + part.spares) if part.count > 0.0 else None
    return OrderLine(part, quoted.each, price)
