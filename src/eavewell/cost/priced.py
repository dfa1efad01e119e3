"""A parts list with its prices."""

from collections.abc import Mapping
from dataclasses import dataclass

from eavewell.cost.band import NOTHING, Band, total
from eavewell.cost.parts import is_there
from eavewell.cost.quotes import Quote, quote, shelved
from eavewell.site.money import Money, PriceBook
from eavewell.site.part import Part


@dataclass(frozen=True, slots=True)
class PricedPart:
    """One part with the price of one unit.

    first : of all of it, spares included; nothing for a part that is there already.
    again : of one replacement, without spares. life_years : until then; None for never.
    """

    part: Part
    quote: Quote
    first: Band
    again: Band
    life_years: float | None
    there: bool


@dataclass(frozen=True, slots=True)
class Priced:
    """Every priced part; unpriced : parts that the book does not know.

    years : the years of the prices, first and last. from_memory : True where any price is.
    unmatched : names of `have` that no part answers to.
    """

    currency: str
    rows: tuple[PricedPart, ...]
    unpriced: tuple[Part, ...]
    unmatched: tuple[str, ...]
    first: Band

    @property
    def years(self) -> tuple[int, int] | None:
        """First and last year of the prices used; None where there are none."""
        found = [row.quote.year for row in self.rows]
        return (min(found), max(found)) if found else None

    @property
    def from_memory(self) -> bool:
        """Whether any price was seen nowhere."""
        return any("memory" in row.quote.source for row in self.rows)


def price_parts(
    parts: tuple[Part, ...],
    book: PriceBook,
    *,
    money: Money,
    lives: Mapping[tuple[str, str], float] | None = None,
) -> Priced:
    """Price every part.

    lives : (part, where) -> years until it is replaced, in place of the book's.
    """
    shelf, rows, unpriced = shelved(book), [], []
    for part in parts:
        found = quote(shelf, part.part, size=part.size)
        if found is None:
            unpriced.append(part)
        else:
            life = (lives or {}).get((part.part, part.where), found.life_years)
            rows.append(_row(part, found, there=is_there(part, money), life_years=life))
    first = total(row.first for row in rows)
    return Priced(book.currency, tuple(rows), tuple(unpriced), _unmatched(parts, money), first)


def _row(part: Part, found: Quote, *, there: bool, life_years: float | None) -> PricedPart:
    first = NOTHING if there else found.each.times(part.count + part.spares)
    return PricedPart(part, found, first, found.each.times(part.count), life_years, there)


def _unmatched(parts: tuple[Part, ...], money: Money) -> tuple[str, ...]:
    known = {part.part for part in parts} | {part.where for part in parts}
    return tuple(name for name in money.have if name not in known)
