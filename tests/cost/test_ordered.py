"""The order with its prices, by hand; every price invented."""

import pytest

from eavewell.cost.ordered import price_order
from eavewell.site.money import Price, PriceBook
from eavewell.site.part import Part


def part(name, count, unit="each", **fields):
    return Part(name, count, unit, "", "", **fields)


def price(name, typical, unit="each"):
    ends = {"low": typical / 2, "typical": typical, "high": 2 * typical}
    return Price(name, unit, **ends, currency="USD", year=2025, source="invented")


BOOK = PriceBook(
    "USD", (price("tank", 900.0), price("pvc pipe", 4.0, "m"), price("lid lock", 20.0))
)


def test_a_line_costs_its_count_and_its_spares():
    lines = (part("tank", 2.0), part("pvc pipe", 30.0, "m", spares=1.5), part("sealant", 3.0))
    found = price_order(lines, BOOK)
    tank, pipe, sealant = found.lines
    assert tank.price.typical == 1800.0
    # 31.5 m at 4.00
    assert (pipe.price.low, pipe.price.typical, pipe.price.high) == (63.0, 126.0, 252.0)
    assert (sealant.each, sealant.price) == (None, None)
    assert (found.whole.low, found.whole.high) == (963.0, 3852.0)


def test_what_nobody_counted_has_a_price_of_one_and_none_of_all():
    (lock,) = price_order((part("lid lock", 0.0),), BOOK).lines
    assert lock.each.typical == pytest.approx(20.0)
    assert lock.price is None


def test_an_order_without_any_price_has_no_total():
    assert price_order((part("sealant", 3.0),), BOOK).whole is None
    assert price_order((), BOOK).whole is None
