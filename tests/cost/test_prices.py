"""What a part costs: between sizes, beyond them, by an owner's rows. Books invented."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from eavewell.cost.band import NOTHING, Band, flat, total
from eavewell.cost.part_rows import row
from eavewell.cost.priced import price_parts
from eavewell.cost.quotes import quote, shelved
from eavewell.site.money import Money, Price, PriceBook

quick = settings(max_examples=150, deadline=None)


def price(part, typical, *, size=None, life_years=None, year=2024, low=None, high=None, **more):
    source = more.pop("source", "an invented shop")
    low, high = typical / 2.0 if low is None else low, typical * 2.0 if high is None else high
    return Price(part, "each", low, typical, high, "USD", year, source, size, life_years)


def shelf(*prices):
    return shelved(PriceBook("USD", prices))


TANKS = (price("tank", 400.0, size=1000.0, year=2020), price("tank", 1600.0, size=16000.0))


def test_between_two_sizes_straight_on_logarithms():
    """400 at 1,000 L and 1,600 at 16,000 L: cost as the square root of the size; 800 at 4,000 L."""
    found = quote(shelf(*TANKS), "tank", size=4000.0)
    assert found.each.typical == pytest.approx(800.0)
    assert (found.each.low, found.each.high) == (pytest.approx(400.0), pytest.approx(1600.0))
    assert not found.stretched


def test_the_year_is_that_of_the_size_nearest_by_proportion():
    assert quote(shelf(*TANKS), "tank", size=3900.0).year == 2020
    assert quote(shelf(*TANKS), "tank", size=4100.0).year == 2024


def test_at_a_size_of_the_book_its_own_price():
    for one in TANKS:
        found = quote(shelf(*TANKS), "tank", size=one.size)
        assert found.each == Band(one.low, one.typical, one.high)
        assert not found.stretched


def test_below_the_smallest_its_price_and_above_the_largest_in_proportion():
    small, large = (quote(shelf(*TANKS), "tank", size=size) for size in (10.0, 32000.0))
    assert (small.each.typical, small.stretched) == (400.0, True)
    assert (large.each.typical, large.stretched) == (3200.0, True)


def test_a_free_size_is_reached_in_a_straight_line():
    given_away = price("tank", 0.0, size=100.0), price("tank", 300.0, size=10000.0)
    found = quote(shelf(*given_away), "tank", size=1000.0)
    assert found.each.typical == pytest.approx(150.0)


def test_without_a_size_the_middle_one_of_the_book():
    three = [price("tank", cost, size=size) for cost, size in ((1, 1.0), (2, 2.0), (9, 3.0))]
    assert quote(shelf(*three), "tank").each.typical == 2


def test_a_part_without_sizes_and_a_part_without_a_price():
    assert quote(shelf(price("union", 8.0)), "union", size=26.6).each.typical == 8.0
    assert quote(shelf(), "union") is None


@quick
@given(
    costs=st.lists(st.floats(1.0, 1e5), min_size=2, max_size=5),
    size=st.floats(1.0, 1e6),
)
def test_the_range_stays_in_order_and_rises_with_the_size(costs, size):
    costs = sorted(costs)
    book = shelf(*(price("tank", cost, size=10.0 ** (at + 1)) for at, cost in enumerate(costs)))
    one, more = (quote(book, "tank", size=s).each for s in (size, size * 1.3))
    assert one.low <= one.typical <= one.high
    assert more.typical >= one.typical * (1.0 - 1e-12)
    assert math.isfinite(one.high)


# Parts with their prices.

BOOK = PriceBook(
    "USD",
    (
        price("ball valve", 20.0, life_years=15.0),
        price("cartridge", 18.0, life_years=0.5, source="from memory - check", year=2021),
        price("tank", 1000.0),
    ),
)


def priced(*parts, have=(), lives=None):
    return price_parts(parts, BOOK, money=Money(have=have), lives=lives)


def test_counts_and_spares_are_paid_at_first_and_counts_alone_again():
    """3 valves and 1 spare at 20: 80, and 60 when they are replaced."""
    found = priced(row("ball valve", 3, where="line 'a'"))
    (valves,) = found.rows
    assert valves.first == Band(40.0, 80.0, 160.0)
    assert valves.again == Band(30.0, 60.0, 120.0)
    assert (valves.life_years, found.first) == (15.0, valves.first)


def test_what_is_there_costs_nothing_now_and_is_replaced_all_the_same():
    tank = row("tank", 2, where="tank 'main'", size=900.0)
    for have in (("tank",), ("tank 'main'",)):
        (found,) = priced(tank, have=have).rows
        assert (found.first, found.again.typical, found.there) == (NOTHING, 2000.0, True)


def test_a_name_that_no_part_has_is_told():
    found = priced(row("tank", 1, where="tank 'main'"), have=("tank", "tnak", "tank 'main'"))
    assert found.unmatched == ("tnak",)


def test_a_part_without_a_price_is_told_and_left_out():
    found = priced(row("tank", 1, where="tank 'main'"), row("union", 2, where="line 'a'"))
    assert [part.part for part in found.unpriced] == ["union"]
    assert found.first.typical == 1000.0


def test_the_years_and_whether_any_price_is_from_memory():
    found = priced(row("cartridge", 1, where="filter 'fine'"), row("tank", 1, where="tank 'a'"))
    assert (found.years, found.from_memory) == ((2021, 2024), True)
    assert not priced(row("tank", 1, where="tank 'a'")).from_memory
    assert priced().years is None


def test_a_stated_life_rules_over_the_book():
    parts = row("cartridge", 1, where="filter 'fine'"), row("cartridge", 1, where="filter 'coarse'")
    fine, coarse = priced(*parts, lives={("cartridge", "filter 'fine'"): 0.25}).rows
    assert (fine.life_years, coarse.life_years) == (0.25, 0.5)


def test_bands():
    assert Band(1, 2, 3) + Band(10, 20, 30) == Band(11, 22, 33)
    assert Band(1, 2, 3).times(2.0) == Band(2, 4, 6)
    assert total([]) == NOTHING
    assert total([flat(2.0), Band(0, 1, 2)]) == Band(2, 3, 4)
