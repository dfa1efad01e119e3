"""Parts and money of a whole system: what it counts, what it leaves unknown. Sites invented."""

from dataclasses import replace
from pathlib import Path

import pytest

from eavewell.cost.band import NOTHING, Band, flat
from eavewell.cost.energy import Energy
from eavewell.cost.parts import take_off
from eavewell.cost.reckoned import lives, reckon
from eavewell.cost.yearly_water import YearlyWater, yearly_water
from eavewell.files.price_book import price_book
from eavewell.files.site.reader import site_of_text
from eavewell.site.barrier import Cartridge, Lamp
from eavewell.site.hauling import Hauling
from eavewell.site.line import InLine, Line
from eavewell.site.money import Money, PriceBook, Rebate, Tier
from eavewell.site.pipe import Pipe
from eavewell.site.power import Power
from eavewell.storage.drawn import as_drawn

HOUSE = Path(__file__).parents[2] / "examples" / "whole-house" / "site.toml"
BOOK = price_book(None, currency="USD")
IDLE = Energy((), 0.0, None, None, ())
WATER = YearlyWater(120_000.0, 100_000.0, 0.0, 2.0, 4, 7_500.0)


@pytest.fixture(scope="module")
def house():
    """The example, with nothing said of its money."""
    return replace(site_of_text(HOUSE.read_text(encoding="utf-8")), money=Money(), power=Power())


def reckoned(site, *, water=WATER, energy=IDLE, book=BOOK, l_day=None):
    return reckon(site, take_off(site), book=book, water=water, energy=energy, l_day=l_day)


def thing(name, kind, works):
    return InLine(name, kind, 0.5, 1.0, 2.0, works=works)


def test_loads_by_the_owners_price(house):
    found = reckoned(replace(house, money=Money(load=310.0)))
    assert found.load == flat(310.0)
    assert found.life.running.hauled == flat(620.0)
    assert not any("hauled load" in one for one in found.assumed)


def test_loads_by_the_price_from_memory(house):
    """120 to 500, usually 250, and said so."""
    found = reckoned(house)
    assert found.life.running.hauled == Band(240.0, 500.0, 1000.0)
    assert any("hauled load from memory" in one for one in found.assumed)


def test_what_no_price_or_plate_tells_is_said_and_not_nothing(house):
    made_up = replace(WATER, make_up_l=1000.0)
    unknown = replace(IDLE, unknown=("power of lamp 'uv'",))
    found = reckoned(house, water=made_up, energy=unknown)
    assert any(one.startswith("price of mains water unknown") for one in found.assumed)
    assert any(one.startswith("power of lamp 'uv' unknown") for one in found.assumed)
    priced = replace(house, money=Money(tiers=(Tier(None, 3.0),)))
    assert not any("unknown" in one for one in reckoned(priced, water=made_up).assumed)


def test_no_dollars_for_a_site_in_euro(house):
    found = reckoned(
        replace(house, money=Money(currency="EUR")), book=PriceBook("EUR", ()), energy=IDLE
    )
    assert (found.load, found.life.running.together) == (None, NOTHING)
    assert any("unknown: state it in EUR" in one for one in found.assumed)


def test_without_a_price_nothing_is_told_to_pay_back(house):
    money = Money(currency="EUR", tiers=(Tier(None, 3.0),))
    found = reckoned(replace(house, money=money), book=PriceBook("EUR", ()))
    assert (found.payback, found.per_m3) == (None, None)
    assert len(found.priced.unpriced) == len(found.parts.parts)


def test_energy_of_a_year(house):
    energy = replace(IDLE, kwh_day=2.0)
    found = reckoned(replace(house, money=Money(kwh=0.20)), energy=energy)
    assert found.life.running.energy.typical == pytest.approx(2.0 * 365.25 * 0.20)


def test_tests_of_a_house_that_drinks_it(house):
    assert reckoned(house).life.running.tests.typical > 0.0
    assert reckoned(replace(house, money=Money(tests_year=75.0))).life.running.tests == flat(75.0)
    dry = replace(house, uses=tuple(replace(use, end_use="outdoor") for use in house.uses))
    assert reckoned(dry).life.running.tests == NOTHING


def test_the_fixed_sum_of_the_mains_is_paid_as_long_as_there_is_mains(house):
    money = Money(tiers=(Tier(None, 2.0),), mains_month=11.0)
    some = reckoned(replace(house, money=money), water=replace(WATER, make_up_l=30_000.0))
    none = reckoned(replace(house, money=money))
    assert some.life.running.mains.typical == pytest.approx(12 * 11.0 + 30 * 2.0)
    assert none.life.running.mains.typical == pytest.approx(12 * 11.0)


def test_cost_of_a_cubic_metre_is_of_used_rain_alone(house):
    found = reckoned(house)
    assert found.per_m3.typical == pytest.approx(found.life.yearly.typical / 100.0)
    assert reckoned(house, water=replace(WATER, used_l=0.0)).per_m3 is None


def test_what_a_designer_asks_stands_beside_and_is_in_no_sum(house):
    """Ten to fifteen in a hundred of the parts."""
    found = reckoned(house)
    assert found.design.low == pytest.approx(0.10 * found.priced.first.low)
    assert found.design.high == pytest.approx(0.15 * found.priced.first.high)
    assert found.life.years[0].parts == found.priced.first


def test_a_rebate_by_volume_is_of_the_tanks_and_not_of_the_sump(house):
    """Four tanks and the header, to the rim."""
    money = Money(rebates=(Rebate("office", per_l=0.01),))
    expected = 0.01 * sum(tank.rim_l for tank in house.tanks)
    assert reckoned(replace(house, money=money)).life.rebate == pytest.approx(expected)
    sump = replace(house, money=money, tanks=(replace(house.tanks[0], is_sump=True),))
    assert reckoned(sump).life.rebate == 0.0


# Lives of cartridges and lamps.


def with_line(making, *things, name="house"):
    return making.site(lines=(Line(name, "tank", Pipe(26.64, 3.0), in_line=things),))


def test_a_cartridge_lives_by_time_or_by_water_whichever_is_first(making):
    """40,000 L at 400 L a day are 100 days; 90 days come first. At 500 L a day 80 days do."""
    site = with_line(making, thing("fine", "filter", Cartridge(life_l=40_000.0, life_days=90.0)))
    key = ("cartridge", "filter 'fine'")
    assert lives(site, {"house": 400.0})[key] == pytest.approx(90 / 365.25)
    assert lives(site, {"house": 500.0})[key] == pytest.approx(80 / 365.25)
    assert lives(site, {})[key] == pytest.approx(90 / 365.25)


def test_a_lamp_burns_its_hours(making):
    """9,000 h of 8,766 h a year."""
    site = with_line(making, thing("uv", "lamp", Lamp(life_h=9000.0)))
    assert lives(site, {})["lamp", "lamp 'uv'"] == pytest.approx(9000 / 8766)


def test_without_a_life_the_book_tells(making):
    things = thing("fine", "filter", Cartridge()), thing("uv", "lamp", Lamp())
    assert lives(with_line(making, *things), {"house": 400.0}) == {}


def test_two_of_one_name_on_two_lines_go_by_the_shorter_life(making):
    fine = thing("fine", "filter", Cartridge(life_l=40_000.0))
    lines = tuple(
        Line(name, "tank", Pipe(26.64, 3.0), in_line=(fine,)) for name in ("house", "yard")
    )
    found = lives(making.site(lines=lines), {"house": 400.0, "yard": 100.0})
    assert found["cartridge", "filter 'fine'"] == pytest.approx(100 / 365.25)
    first, second = lives(making.site(lines=lines[::-1]), {"house": 400.0, "yard": 100.0}), found
    assert first == second


def test_twenty_years_cost_more_with_a_lamp_that_lives_shorter(house):
    def whole(life_h):
        (line, *others) = house.lines
        things = tuple(
            replace(one, works=Lamp(input_w=40.0, life_h=life_h)) if one.kind == "lamp" else one
            for one in line.in_line
        )
        return reckoned(replace(house, lines=(replace(line, in_line=things), *others)))

    sums = [whole(hours).life.present.typical for hours in (20_000.0, 12_000.0, 9_000.0, 5_000.0)]
    assert sums == sorted(sums)
    assert sums[0] < sums[-1]


# Only used water counts.


def ran(making, usable_l):
    """Rain of 10 mm on every tenth day from 10 m2 (100 L), 8 L a day wanted."""
    rain = making.every_tenth_day()
    site = making.site(tanks=(making.tank(usable_l),))
    water = making.series(rain, 8.0)
    return site, yearly_water(site, as_drawn(site, water).reliability)


def test_a_larger_store_that_is_not_used_never_makes_the_water_cheaper(making):
    costs = []
    for usable_l in (120.0, 200.0, 2_000.0, 20_000.0):
        site, water = ran(making, usable_l)
        costs.append(reckoned(site, water=water).per_m3.typical)
        assert water.used_l <= water.wanted_l + 1e-6
        assert water.used_l == pytest.approx(8.0 * 365.25, rel=2e-3)
    assert costs == sorted(costs)


def test_hauled_water_is_not_rain(making):
    """No rain at all: 8 L a day in loads of 400 L, 7.3 loads a year, nothing used."""
    site = making.site(
        tanks=(making.tank(1000.0),),
        uses=(making.use(8.0, fallback="hauled"),),
        hauling=(Hauling("tank", load_l=400.0, lead_days=1, safety_days=2.0),),
    )
    water = making.series([0.0] * 3650, 8.0)
    found = yearly_water(site, as_drawn(site, water).reliability)
    assert found.loads == pytest.approx(8.0 * 365.25 / 400.0, rel=0.02)
    assert found.used_l == pytest.approx(0.0, abs=0.01 * found.wanted_l)
    assert found.load_l == 400.0


def test_mains_water_is_not_rain(making):
    """100 L of rain in ten days for 80 L wanted, but a store of 40 L: half of it from the mains."""
    site = making.site(tanks=(making.tank(40.0),), uses=(making.use(8.0, fallback="mains"),))
    water = making.series(making.every_tenth_day(), 8.0)
    found = yearly_water(site, as_drawn(site, water).reliability)
    assert found.used_l == pytest.approx(found.wanted_l - found.make_up_l, rel=1e-9)
    assert found.make_up_l > 0.3 * found.wanted_l
