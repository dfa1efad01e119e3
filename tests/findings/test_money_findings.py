"""What is said of money and of scarce power: each check fires, keeps silent, and its fix helps."""

from dataclasses import replace

import pytest

from eavewell.cost.energy import energy_of
from eavewell.cost.parts import take_off
from eavewell.cost.reckoned import reckon
from eavewell.cost.yearly_water import YearlyWater
from eavewell.findings.money import money_told
from eavewell.site.barrier import Lamp
from eavewell.site.line import InLine, Line
from eavewell.site.money import Money, Price, PriceBook, Rebate, Tier
from eavewell.site.pipe import Pipe
from eavewell.site.power import Power
from eavewell.tables import rows

WATER = YearlyWater(60_000.0, 50_000.0, 0.0, 0.0, 0, None)
MAINS = Money(tiers=(Tier(None, 4.0),))


def book(source="an invented shop", leave_out=(), cost=10.0):
    return PriceBook(
        "USD",
        tuple(
            Price(row["part"], row["unit"], cost, cost, cost, "USD", 2025, source)
            for row in rows("parts")
            if row["part"] not in leave_out
        ),
    )


def lamp(watts=40.0, start_w=None):
    return InLine("lamp", "lamp", 0.5, 1.0, 1.0, works=Lamp(input_w=watts))


@pytest.fixture
def site(making):
    line = Line("house", "tank", Pipe(26.64, 3.0), in_line=(lamp(),))
    return making.site(lines=(line,), money=MAINS)


def told(site, *, prices=None, water=WATER):
    found = reckon(site, take_off(site), book=prices or book(), water=water, energy=energy_of(site))
    return {one.code: one for one in money_told(site, found)}


def test_a_whole_book_of_ones_own_says_nothing(site):
    assert told(site) == {}


def test_a_part_without_a_price(site):
    found = told(site, prices=book(leave_out=("tank", "lamp")))["price-missing"]
    assert "lamp, tank" in found.says
    assert (found.measured, found.limit) == (2.0, 0.0)
    assert "price-missing" not in told(site, prices=book())


def test_without_any_price_the_report_says_so_itself(site):
    assert "price-missing" not in told(site, prices=PriceBook("USD", ()))


def test_a_part_of_unknown_size(site, making):
    from eavewell.site.base import Base

    rock = making.tank(stands_on=Base("crushed rock", thick_m=0.1))
    assert "crushed rock" in told(replace(site, tanks=(rock,)))["part-size-unknown"].says
    known = making.tank(stands_on=Base("crushed rock", thick_m=0.1, area_m2=4.0))
    assert "part-size-unknown" not in told(replace(site, tanks=(known,)))


def test_a_name_that_no_part_has(site):
    wrong = replace(site, money=replace(MAINS, have=("tnak",)))
    assert "'tnak'" in told(wrong)["part-not-found"].says
    right = replace(site, money=replace(MAINS, have=("tank 'tank'",)))
    assert "part-not-found" not in told(right)


def test_prices_from_memory_are_called_so(site):
    found = told(site, prices=book("from memory - check"))["prices-from-memory"]
    assert found.level == "note"
    assert "prices-from-memory" not in told(site)


def test_what_never_pays_back(site):
    """50 m3 at 4 a m3 are 200 a year; parts at 10,000 apiece are far beyond twenty years of it."""
    assert "never-pays-back" in told(site, prices=book(cost=10_000.0))
    assert "never-pays-back" not in told(site)


def test_rain_that_is_not_used(site):
    assert "rain-not-used" in told(site, water=replace(WATER, used_l=0.0))
    assert "rain-not-used" not in told(site)


def test_a_rebate_above_the_cost_and_its_fix(site):
    generous = replace(site, money=replace(MAINS, rebates=(Rebate("county", 9999.0),)))
    found = told(generous)["rebate-above-cost"]
    assert (found.measured, found.unit) == (9999.0, "USD")
    capped = Rebate("county", 9999.0, most=found.limit)
    fixed = replace(site, money=replace(MAINS, rebates=(capped,)))
    assert "rebate-above-cost" not in told(fixed)


# Scarce power.


def powered(site, **fields):
    return replace(site, power=Power(**fields))


def test_unknown_power_on_a_battery(site):
    (line,) = site.lines
    dark = replace(site, lines=(replace(line, in_line=(lamp(None),)),))
    found = told(powered(dark, battery_kwh=5.0))["power-not-checked"]
    assert (found.level, found.measured) == ("note", None)
    assert "power of lamp 'lamp'" in found.says
    assert "power-not-checked" not in told(powered(site, battery_kwh=5.0))
    assert "power-not-checked" not in told(dark)


def test_a_winter_day_that_brings_too_little_and_its_fix(site):
    """A lamp of 40 W takes 0.96 kWh a day."""
    found = told(powered(site, winter_kwh_day=0.5))["winter-sun-too-little"]
    assert (found.measured, found.limit) == (pytest.approx(0.96), 0.5)
    assert "licensed electrician" in found.says
    assert "Screening, not design approval" in found.says
    assert "winter-sun-too-little" not in told(powered(site, winter_kwh_day=stated(found, "kWh")))


def test_a_start_above_the_surge_and_its_fix(site):
    found = told(powered(site, surge_w=30.0))["start-above-surge"]
    assert (found.measured, found.limit) == (40.0, 30.0)
    assert "licensed electrician" in found.says
    assert "start-above-surge" not in told(powered(site, surge_w=stated(found, "W")))
    assert "start-above-surge" not in told(site)


def stated(finding, unit):
    """The figure that the fix names, in that unit."""
    words = finding.fix.replace(",", "").split()
    return float(words[words.index(unit) - 1])
