"""Common practice, no source (COMPUTED): the money of a life by the annuity formula and by hand.

Present worth and even payments are held against numpy-financial, which was written by others.
Prices are invented.
"""

import math

import numpy_financial as npf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from eavewell.cost.band import NOTHING, Band, flat
from eavewell.cost.life_cycle import (
    Running,
    due_in,
    life_cycle,
    present_worth,
    rebate_of,
    yearly_share,
)
from eavewell.cost.other_ways import other_ways, payback
from eavewell.cost.part_rows import row
from eavewell.cost.priced import Priced, price_parts
from eavewell.cost.tariff import mains_year
from eavewell.cost.yearly_water import YearlyWater
from eavewell.faults import OutOfRange
from eavewell.site.money import Money, OtherWater, Price, PriceBook, Rebate, Tier

quick = settings(max_examples=100, deadline=None)
IDLE = Running(NOTHING, NOTHING, NOTHING, NOTHING)


def book(**lives):
    """One price each: tank 1000, jet pump 400, lamp 100, cartridge 20."""
    costs = {"tank": 1000.0, "jet pump": 400.0, "lamp": 100.0, "cartridge": 20.0}
    return PriceBook(
        "USD",
        tuple(
            Price(part, "each", cost, cost, cost, "USD", 2025, "invented", None, lives.get(part))
            for part, cost in costs.items()
        ),
    )


USUAL = {"jet pump": 10.0, "lamp": 1.0, "cartridge": 0.5, "tank": 25.0}


def system(money=None, **lives):
    """A tank, a pump, a lamp and a cartridge, the last with one spare: 1,540 to have."""
    parts = tuple(row(part, 1, where="here") for part in ("tank", "jet pump", "lamp", "cartridge"))
    return price_parts(parts, book(**(USUAL | lives)), money=money or Money())


def running(energy=0.0, tests=0.0, hauled=0.0, mains=0.0):
    return Running(flat(energy), flat(tests), flat(hauled), flat(mains))


def times_due(part, **lives):
    one = next(one for one in system(**lives).rows if one.part.part == part)
    return [due_in(one, number, life=20) for number in range(1, 21)]


# The calendar of 20 years.


def test_a_lamp_of_one_year_is_replaced_nineteen_times():
    """Not at the very end: the twentieth year closes with the nineteenth replacement burning."""
    assert times_due("lamp") == [1] * 19 + [0]


def test_a_cartridge_of_half_a_year_is_replaced_thirty_nine_times():
    assert times_due("cartridge") == [2] * 19 + [1]


def test_a_pump_of_ten_years_is_replaced_once_in_the_tenth_year():
    assert times_due("jet pump") == [0] * 9 + [1] + [0] * 10


def test_what_outlives_the_system_is_never_replaced():
    assert sum(times_due("tank")) == 0
    assert sum(times_due("tank", tank=20.0)) == 0
    assert sum(times_due("tank", tank=19.9)) == 1
    assert sum(times_due("tank", tank=None)) == 0


@quick
@given(every=st.floats(0.02, 60.0), life=st.integers(1, 60))
def test_as_often_as_the_life_holds_the_part(every, life):
    """ceil(life / every) of them are used up in all, the first of them bought at the start."""
    (one,) = price_parts(
        (row("jet pump", 1, where="here"),), book(**{"jet pump": every}), money=Money()
    ).rows
    due = [due_in(one, number, life=life) for number in range(1, life + 1)]
    assert sum(due) == math.ceil(life / every - 1e-9) - 1
    assert min(due) >= 0


def test_the_first_year_and_the_tenth():
    """To have it: 1,000 + 400 + 100 + 2 x 20. The tenth: pump, lamp, two cartridges."""
    found = life_cycle(system(), running(energy=50.0), money=Money(years=20))
    assert found.years[0].paid.typical == 1540.0
    assert found.years[10].parts.typical == 400.0 + 100.0 + 2 * 20.0
    assert found.years[10].paid.typical == 590.0
    assert len(found.years[10].replaced) == 3
    assert found.years[20].parts.typical == 20.0
    assert [year.number for year in found.years] == list(range(21))


def test_twenty_years_in_plain_sums():
    """1,540 + 1 x 400 + 19 x 100 + 39 x 20 + 20 x 50 = 5,620; a twentieth of it a year."""
    found = life_cycle(system(), running(energy=50.0), money=Money(years=20))
    assert found.present.typical == pytest.approx(5620.0)
    assert found.yearly.typical == pytest.approx(281.0)


def test_a_year_is_every_part_over_its_life():
    """Lives that go into 20 years: 1000/20 + 400/10 + 100/1 + 20/0.5, and the spare once."""
    found = life_cycle(system(tank=20.0), IDLE, money=Money(years=20))
    assert found.yearly.typical == pytest.approx(50 + 40 + 100 + 40 + 20 / 20)


# Discount and inflation.


def test_present_worth_against_numpy_financial():
    found = life_cycle(system(), running(tests=120.0), money=Money(years=20, discount=0.04))
    flows = [year.paid.typical for year in found.years]
    assert found.present.typical == pytest.approx(npf.npv(0.04, flows))
    even = -npf.pmt(0.04, 20, found.present.typical)
    assert found.yearly.typical == pytest.approx(even)


@quick
@given(
    flows=st.lists(st.floats(0.0, 1e5), min_size=1, max_size=41),
    discount=st.floats(0.0, 0.3),
    inflation=st.floats(0.0, 0.2),
)
def test_present_worth_with_both(flows, discount, inflation):
    """Sums grown by inflation, then shrunk by the discount."""
    grown = [sum_ * (1.0 + inflation) ** year for year, sum_ in enumerate(flows)]
    found = present_worth(tuple(map(flat, flows)), discount=discount, inflation=inflation)
    assert found.typical == pytest.approx(npf.npv(discount, grown), rel=1e-9, abs=1e-6)


def test_the_annuity_formula():
    """A sum at 5 % over 10 years: 0.05 / (1 - 1.05^-10) = 0.12950 a year of it."""
    assert yearly_share(10, 0.05) == pytest.approx(0.129505, abs=5e-7)
    assert yearly_share(20, 0.0) == 0.05


@quick
@given(years=st.integers(1, 100), discount=st.floats(1e-9, 0.5))
def test_the_even_sum_against_numpy_financial(years, discount):
    even = yearly_share(years, discount)
    assert even == pytest.approx(-npf.pmt(discount, years, 1.0), rel=1e-6)


def test_equal_discount_and_inflation_leave_plain_sums():
    plain = life_cycle(system(), running(energy=50.0), money=Money())
    both = life_cycle(system(), running(energy=50.0), money=Money(discount=0.03, inflation=0.03))
    assert both.present.typical == pytest.approx(plain.present.typical)


def test_no_inflation_unless_asked():
    assert life_cycle(system(), IDLE, money=Money()).inflation == 0.0
    assert life_cycle(system(), IDLE, money=Money()).discount == 0.0


def test_what_makes_no_sense_is_refused():
    with pytest.raises(OutOfRange):
        present_worth((flat(1.0),), discount=-1.0, inflation=0.0)
    with pytest.raises(OutOfRange):
        yearly_share(0, 0.03)


# Rebates.


def test_rebates():
    """250 flat; 0.10 a litre of 10,000 L, at most 600."""
    assert rebate_of(Rebate("county", 250.0), 10000.0) == 250.0
    assert rebate_of(Rebate("office", per_l=0.10), 10000.0) == pytest.approx(1000.0)
    assert rebate_of(Rebate("office", per_l=0.10, most=600.0), 10000.0) == 600.0
    assert rebate_of(Rebate("office", per_l=0.10, most=600.0), 2000.0) == pytest.approx(200.0)


def test_rebates_are_a_line_of_their_own_and_come_once():
    money = Money(rebates=(Rebate("county", 250.0), Rebate("office", per_l=0.1, most=600.0)))
    found = life_cycle(system(money), IDLE, money=money, tank_l=10000.0)
    assert (found.rebate, found.years[0].parts.typical) == (850.0, 1540.0)
    assert found.years[0].paid.typical == 690.0
    assert [year.rebate for year in found.years[1:]] == [0.0] * 20


def test_a_rebate_never_pays_more_than_was_spent():
    money = Money(rebates=(Rebate("county", 9999.0),))
    assert life_cycle(system(money), IDLE, money=money).years[0].paid == NOTHING


# Shorter lives cost more.


@pytest.mark.parametrize("part", ["lamp", "cartridge", "jet pump"])
def test_twenty_years_cost_more_as_a_part_lives_shorter(part):
    sums = [
        life_cycle(system(**{part: life}), IDLE, money=Money(discount=0.03)).present.typical
        for life in (25.0, 12.0, 6.0, 3.0, 1.0, 0.5, 0.25)
    ]
    assert sums == sorted(sums)
    assert sums[-1] > sums[0]


# Mains water by steps.

TIERS = (Tier(10_000.0, 1.0), Tier(30_000.0, 2.5), Tier(None, 6.0))


@pytest.mark.parametrize(
    ("m3_month", "a_month"),
    [(0, 0), (4, 4), (10, 10), (20, 10 + 25), (30, 10 + 50), (35, 10 + 50 + 30)],
)
def test_mains_by_steps(m3_month, a_month):
    money = Money(tiers=TIERS, mains_month=12.0)
    assert mains_year(12 * m3_month * 1000.0, money) == pytest.approx(12 * (a_month + 12.0))


def test_without_a_mains_price_there_is_none():
    assert mains_year(1e5, Money(mains_month=12.0)) is None


@quick
@given(l_year=st.floats(0.0, 1e7), more=st.floats(0.0, 1e6))
def test_more_mains_water_never_costs_less(l_year, more):
    money = Money(tiers=TIERS)
    assert mains_year(l_year + more, money) >= mains_year(l_year, money) - 1e-6


# Payback.


def water(used_m3=0.0, make_up_m3=0.0, wanted_m3=None, loads=0.0, load_m3=None):
    wanted = used_m3 + make_up_m3 if wanted_m3 is None else wanted_m3
    load_l = None if load_m3 is None else load_m3 * 1000.0
    litres = (1000.0 * volume for volume in (wanted, used_m3, make_up_m3))
    return YearlyWater(*litres, loads, math.ceil(loads), load_l)


def plain_system(low, typical, high):
    return Priced("USD", (), (), (), Band(low, typical, high))


def pays(first, saved_of, *, run=IDLE, money=None, load=None):
    money = money or Money(tiers=(Tier(None, 2.0),))
    life = life_cycle(plain_system(*first), run, money=money)
    return payback(life, saved_of, money=money, load=load)


def test_a_thousand_at_two_hundred_a_year_is_five_years():
    """100 m3 of rain in place of mains at 2 a m3."""
    found = pays((500.0, 1000.0, 2500.0), water(used_m3=100.0))
    assert found.saved_year == flat(200.0)
    assert (found.years_low, found.years, found.years_high) == (2.5, 5.0, 12.5)
    assert found.against == "the mains"


def test_never_is_never():
    """Over 20 years 200 a year reach 4,000, not 4,001; running costs eat the savings."""
    assert pays((4000.0,) * 3, water(used_m3=100.0)).years == pytest.approx(20.0)
    assert pays((4001.0,) * 3, water(used_m3=100.0)).years is None
    assert pays((10.0,) * 3, water(used_m3=100.0), run=running(energy=200.0)).years is None


def test_what_is_there_already_pays_at_once_unless_it_costs_more_to_run():
    assert pays((0.0,) * 3, water(used_m3=100.0)).years == 0.0
    assert pays((0.0,) * 3, water(used_m3=100.0), run=running(tests=300.0)).years is None


def test_payback_with_a_discount():
    """Five payments of 200 at 10 % are worth 758.16: 758.16 is paid back in five years."""
    worth = -npf.pv(0.10, 5, 200.0)
    money = Money(tiers=(Tier(None, 2.0),), discount=0.10)
    assert pays((worth,) * 3, water(used_m3=100.0), money=money).years == pytest.approx(5.0)


def test_rain_saves_from_the_dearest_step_down():
    """15 m3 a month of rain beside 10 m3 of mains: 25 m3 cost 47.50, 10 m3 cost 10."""
    money = Money(tiers=TIERS, mains_month=12.0)
    found = pays((1.0,) * 3, water(used_m3=180.0, make_up_m3=120.0), money=money)
    assert found.saved_year.typical == pytest.approx(12 * 37.5)


def test_against_hauled_loads():
    """75 m3 of used rain are 10 loads of 7.5 m3, at 120 to 500 each."""
    load = Band(120.0, 250.0, 500.0)
    found = pays((2500.0,) * 3, water(75.0, load_m3=7.5), money=Money(), load=load)
    assert found.saved_year == Band(1200.0, 2500.0, 5000.0)
    assert (found.years_low, found.years) == (0.5, 1.0)
    assert found.years_high == pytest.approx(2500.0 / 1200.0)


def test_water_that_is_bought_all_the_same_counts_on_neither_side():
    """Beside 75 m3 of rain two loads a year are hauled: without the system they were hauled too."""
    load = flat(250.0)
    found = pays(
        (2500.0,) * 3,
        water(75.0, wanted_m3=90.0, loads=2.0, load_m3=7.5),
        run=running(hauled=500.0),
        money=Money(),
        load=load,
    )
    assert found.years == pytest.approx(1.0)


def test_without_paid_water_there_is_nothing_to_pay_it_back():
    assert pays((100.0,) * 3, water(used_m3=100.0), money=Money()) is None


def test_payback_and_present_worth_agree():
    """It pays within its life where the whole life costs no more than the mains alone."""
    for used_m3 in (0.0, 20.0, 60.0, 80.0, 120.0):
        for make_up_m3 in (0.0, 30.0):
            money = Money(tiers=TIERS, mains_month=9.0, discount=0.02)
            litres = water(used_m3=used_m3, make_up_m3=make_up_m3)
            run = running(energy=20.0, mains=mains_year(litres.make_up_l, money))
            life = life_cycle(plain_system(1200.0, 1200.0, 1200.0), run, money=money)
            (mains,) = other_ways(litres, money, load=None)
            found = payback(life, litres, money=money, load=None)
            saves = life.present.typical <= mains.present.typical + 1e-9
            assert (found.years is not None) == saves, (used_m3, make_up_m3)


# Other ways to the same water.


def ways(litres, money, load=None):
    return {way.name: way for way in other_ways(litres, money, load=load)}


def test_all_hauled():
    """90 m3 wanted in loads of 7.5 m3: 12 loads a year at 250, 20 years."""
    found = ways(water(wanted_m3=90.0, load_m3=7.5), Money(), flat(250.0))["all hauled"]
    assert found.yearly.typical == pytest.approx(3000.0)
    assert found.present.typical == pytest.approx(60000.0)


def test_do_nothing_stands_beside():
    nothing = ways(water(wanted_m3=90.0), Money())["do nothing"]
    assert (nothing.first, nothing.yearly, nothing.present) == (NOTHING, NOTHING, NOTHING)
    assert "no mains" in nothing.says
    mains = ways(water(wanted_m3=12.0), Money(tiers=(Tier(None, 2.0),), mains_month=10.0))
    assert list(mains) == ["mains only"]
    assert mains["mains only"].yearly.typical == pytest.approx(144.0)
    assert "do nothing" in mains["mains only"].says


def test_a_well_by_the_owners_figures():
    """9,000 to 32,000 to drill, 200 to 400 a year, at 5 %."""
    well = OtherWater("drilled well", 9000.0, 32000.0, 200.0, 400.0, fails_share=0.2)
    found = ways(water(wanted_m3=9.0), Money(others=(well,), discount=0.05))["drilled well"]
    annuity = -npf.pv(0.05, 20, 1.0)
    assert found.present.low == pytest.approx(9000.0 + 200.0 * annuity)
    assert found.present.high == pytest.approx(32000.0 + 400.0 * annuity)
    assert found.present.typical == pytest.approx(20500.0 + 300.0 * annuity)
    assert "20 %" in found.says
