"""A price as a sum of changes against the full one: one and the same but for a rebate's limit."""

from dataclasses import replace
from itertools import product
from pathlib import Path

import pytest

from eavewell.cost.energy import energy_of
from eavewell.cost.separable import Pricing, separable, worth_of
from eavewell.cost.tariff import mains_year
from eavewell.cost.yearly_water import YearlyWater
from eavewell.files.price_book import price_book
from eavewell.files.site.reader import site_of_text
from eavewell.site.money import Money, Tier
from eavewell.site.power import Power
from eavewell.site.weighing import Choice
from eavewell.storage.rebuilt import as_it_stands

HOUSE = Path(__file__).parents[2] / "examples" / "whole-house" / "site.toml"
DRY = YearlyWater(0.0, 0.0, 0.0, 0.0, 0, None)
MONEY = Money(discount=0.03, load=300.0, kwh=0.2, tests_year=80.0)


@pytest.fixture(scope="module", params=[(), ("tank 'main'",), ("tank", "lamp unit")], ids=str)
def site(request):
    whole = site_of_text(HOUSE.read_text(encoding="utf-8"))
    return replace(whole, money=replace(MONEY, have=request.param), power=Power())


@pytest.fixture(scope="module")
def pricing(site):
    return Pricing(
        "main", price_book(None, currency="USD"), energy_of(site), {"house water": 400.0}
    )


def choices(site):
    stands = as_it_stands(site, "main")
    sizes = [(stands.count, stands.each_l), (6, stands.each_l), (2, 9000.0)]
    roofs = [stands.roof_m2, 1.3 * stands.roof_m2, 0.7 * stands.roof_m2]
    return [
        Choice(*size, roof, fixtures, garden, rations)
        for size, roof, fixtures, garden, rations in product(
            sizes, roofs, (1.0, 0.8), (1.0, 0.5), (True, False)
        )
    ]


def test_changes_add_up_to_the_full_price(site, pricing):
    listed = choices(site)
    price = separable(site, listed, pricing=pricing)
    for choice in listed:
        summed, full = price.worth(choice), worth_of(site, choice, pricing=pricing, water=DRY)
        for ours, whole in ((summed.first, full.first), (summed.life, full.life)):
            assert (ours.low, ours.typical, ours.high) == pytest.approx(
                (whole.low, whole.typical, whole.high), rel=1e-9
            )


def test_better_fixtures_are_bought_and_bought_again(site, pricing):
    """Sink, washer, 2 lavatories, 2 toilets, shower, tub: 140 each, again after 15 of 20 years."""
    stands = as_it_stands(site, "main")
    price = separable(site, [stands], pricing=pricing)
    assert price.fixtures.first.typical == pytest.approx(8 * 140.0)
    assert price.fixtures.life.typical == pytest.approx(8 * 140.0 * (1.0 + 1.03**-15))


def test_a_garden_and_its_rations_cost_nothing(site, pricing):
    stands = as_it_stands(site, "main")
    price = separable(site, [stands], pricing=pricing)
    assert price.worth(replace(stands, garden=0.5, rations=False)) == price.worth(stands)


def test_bought_water_of_a_whole_life(site, pricing):
    """Two loads at 300 a year over 20 years at 3 %: 600 times the annuity of 14.8775."""
    price = separable(site, [as_it_stands(site, "main")], pricing=pricing)
    assert price.bought(2.0, 0.0).typical == pytest.approx(600.0 * 14.8775, rel=1e-5)


def test_bought_mains_of_a_whole_life(site, pricing):
    money = replace(site.money, tiers=(Tier(None, 3.0),), mains_month=5.0)
    piped = replace(site, money=money)
    price = separable(piped, [as_it_stands(piped, "main")], pricing=pricing)
    yearly = mains_year(20_000.0, money)
    assert yearly == pytest.approx(20 * 3.0 + 12 * 5.0)
    assert price.bought(0.0, 20_000.0).typical == pytest.approx(yearly * 14.8775, rel=1e-5)


def test_the_fixed_sum_of_the_mains_is_paid_once(site, pricing):
    """The whole price at once and the sum of its changes: 5 a month, 12 months, once a year."""
    money = replace(site.money, tiers=(Tier(None, 3.0),), mains_month=5.0)
    piped = replace(site, money=money)
    stands = as_it_stands(piped, "main")
    other = replace(stands, count=2, each_l=9000.0)
    price = separable(piped, [stands, other], pricing=pricing)
    for choice in (stands, other):
        water = replace(DRY, make_up_l=20_000.0)
        full = worth_of(piped, choice, pricing=pricing, water=water).life
        summed = price.worth(choice).life + price.bought(0.0, 20_000.0)
        without = worth_of(site, choice, pricing=pricing, water=DRY).life
        assert summed.typical == pytest.approx(full.typical, rel=1e-9)
        assert summed.typical - without.typical == pytest.approx(120.0 * 14.8775, rel=1e-5)
