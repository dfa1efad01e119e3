"""Choices weighed on a small made-up site, against brute force. Site, rain and prices invented."""

from dataclasses import replace
from itertools import product

import jsonschema
import numpy as np
import pytest

from eavewell.answers.schema import schema
from eavewell.cost.part_rows import part_rows, row
from eavewell.cost.parts import PartsList, take_off
from eavewell.cost.priced import price_parts
from eavewell.cost.reckoned import reckon
from eavewell.cost.separable import Pricing, separable
from eavewell.cost.yearly_water import yearly_water
from eavewell.design import design
from eavewell.files.site.reader import site_of_text
from eavewell.site.beside import Beside
from eavewell.site.money import Price, PriceBook, Rebate
from eavewell.site.weighing import Choice, Weighing
from eavewell.storage.arrangement import arrange, lanes_as_drawn
from eavewell.storage.drawn import as_drawn
from eavewell.storage.goals import all_reached
from eavewell.storage.in_service import run_in_service
from eavewell.storage.rebuilt import as_it_stands, rebuilt
from eavewell.storage.series import series, uses_in_order
from eavewell.weigh import weigh
from eavewell.weigh.answer import weighed_answer
from eavewell.weigh.choices import choices_of

SITE = """
name = "made up"
place = { latitude = 30.0, longitude = -98.0, elevation = "400 m", show = "metric" }
hauled = [{ to = "main", load = "2,000 L", lead = "2 days" }]
rain = { climate = "dry-uplands" }
money = { load = "90 USD", kwh = "0.20 USD", discount = "3 %" }
[goal]
house = { dry_days_in_worst_spell = 0, loads_in_worst_year = 6 }
garden = { supplied_share = 0.3 }
[[roof]]
name = "house"
area = "110 m2"
finish = "metal"
eave = "3 m"
drains_to = "main"
gutter = [{ name = "eave", shape = "half-round", width = "150 mm", length = "14 m", \
spout_bore = "102 mm" }]
[[tank]]
name = "main"
each = "3,000 L"
count = 2
overflow_pipe = { bore = "102.26 mm", length = "3 m" }
link = { bore = "52.5 mm", length = "0.5 m", valves = true }
[[use]]
name = "house"
class = "drinking"
draws_from = ["main"]
fallback = "hauled"
people = 2
each = "60 L/day"
ration = [{ below = "800 L", share = "70 %", held_by = "agreement" }]
[[use]]
name = "garden"
class = "outdoor"
priority = 2
draws_from = ["main"]
reserve = { keep = "1,000 L", held_by = "timer" }
plants = [{ name = "beds", area = "20 m2", kind = "vegetables", soil = "loam", method = "drip" }]
[[line]]
name = "house"
from = "main"
size = "1 in"
length = "9 m"
pump = "1/2 hp jet"
pump_level = "0 m"
control = "on demand"
cut_out = "35 m"
in_line = [
  { name = "fine", kind = "filter", flow = "0.5 L/s", clean = "1 m", dirty = "4 m", \
life_volume = "30 m3" }]
outlets = [
  { name = "shower", fixture = "shower", level = "2 m" },
  { name = "toilet", fixture = "toilet", level = "1 m", count = 2 }]
"""


def made_up(**fields):
    return replace(site_of_text(SITE), **fields)


def dry(site):
    """The same where nobody brings water."""
    uses = tuple(replace(use, fallback="none") for use in site.uses)
    goals = tuple(goal for goal in site.goals if goal.measure != "loads_in_worst_year")
    return replace(site, uses=uses, goals=goals, hauling=())


def price(part, cost, *, size=None, life=None):
    return Price(part, "each", cost / 2, cost, cost * 2, "USD", 2025, "invented", size, life)


@pytest.fixture(scope="module")
def beside():
    """Tanks by size, and a price of 10 for everything else but the fixtures."""
    sizes = (1000.0, 300.0), (16000.0, 2400.0)
    tanks = tuple(price("tank", cost, size=size, life=12.0) for size, cost in sizes)
    others = tuple(
        price(part, 90.0 if part == "better fixture" else 10.0, life=8.0)
        for part in part_rows()
        if part != "tank"
    )
    return Beside(prices=PriceBook("USD", (*tanks, *others)))


@pytest.fixture(scope="module")
def record(making):
    return making.record(making.wet_and_dry(9))


ASKED = Weighing(
    tank="main",
    each_l=(2000.0, 3000.0, 9000.0),
    counts=(1, 2, 4),
    roofs_m2=(80.0, 160.0),
    fixtures=(0.75,),
    gardens=(0.5,),
    rations=True,
)


@pytest.fixture(scope="module")
def site():
    return made_up(weighing=ASKED)


@pytest.fixture(scope="module")
def found(site, record, beside):
    return weigh(site, record, beside=beside)


def alone(site, found, choice, beside):
    """One choice built, run and priced by itself: everything that a Weight tells."""
    drawn = found.design
    built = rebuilt(site, choice, tank="main")
    running = built
    if not choice.rations:
        running = replace(built, uses=tuple(replace(use, stages=()) for use in built.uses))
    water = series(running, drawn.weather.days)
    share = {"house": choice.fixtures, "garden": choice.garden}
    scale = np.array([share[use.name] for use in uses_in_order(running)])
    water = replace(water, demand_l=water.demand_l * scale)
    figures = as_drawn(running, water).reliability
    balance = run_in_service(running, arrange(running, water, lanes=lanes_as_drawn(running)))
    parts = take_off(built).parts
    if choice.fixtures < 1.0:
        parts = (*parts, row("better fixture", 3, where="the house"))  # a shower, two toilets
    money = reckon(
        built,
        PartsList(parts, ()),
        book=beside.prices,
        water=yearly_water(running, figures),
        energy=drawn.reckoned.energy,
        l_day={run.line.name: run.l_day for run in drawn.served if run.l_day},
    )
    return {
        "choice": choice,
        "met": figures.days_met_share,
        "supplied": figures.supplied_share,
        "worst_loads": figures.worst_year_loads,
        "loads": figures.loads_year,
        "spell": max((use.longest.short_days if use.longest else 0) for use in figures.uses),
        "meets": bool(all_reached(running, balance)[0]),
        "first": money.priced.first.typical,
        "life": money.life.present.typical,
    }


@pytest.fixture(scope="module")
def brute(site, found, beside):
    return [alone(site, found, choice, beside) for choice in choices_of(site, "main")]


def no_other_beats(cost, good):
    """Of every choice whether none is better in one and no worse in the other; the definition."""
    return [
        not any(
            (cost[b] <= cost[a] and good[b] >= good[a])
            and ((cost[b] < cost[a] or good[b] > good[a]) or b < a)
            for b in range(len(cost))
            if b != a
        )
        for a in range(len(cost))
    ]


# Against brute force.


def test_the_grid_is_the_product_and_the_present_stands_first(site, found):
    stands = as_it_stands(site, "main")
    listed = choices_of(site, "main")
    assert listed[0] == stands == Choice(2, 3000.0, 110.0)
    expected = {
        Choice(count, each, roof, fixtures, garden, rations)
        for count, each, roof, fixtures, garden, rations in product(
            (1, 2, 4),
            (2000.0, 3000.0, 9000.0),
            (110.0, 80.0, 160.0),
            (1.0, 0.75),
            (1.0, 0.5),
            (True, False),
        )
    }
    assert set(listed) == expected
    assert found.tried == len(listed) == 216


def test_every_marked_choice_is_what_it_would_be_alone(found, brute):
    by_choice = {one["choice"]: one for one in brute}
    marked = [found.present, found.nearest, found.cheapest, *found.by_days, *found.by_loads]
    assert found.cheapest is not None
    for weight in marked:
        one = by_choice[weight.choice]
        assert weight.full
        assert weight.days_met_share == pytest.approx(one["met"], abs=1e-12)
        assert weight.supplied_share == pytest.approx(one["supplied"], abs=1e-9)
        assert weight.worst_year_loads == one["worst_loads"]
        assert weight.loads_year == pytest.approx(one["loads"])
        assert weight.longest_short_days == one["spell"]
        assert weight.meets_goals == one["meets"]
        assert weight.first.typical == pytest.approx(one["first"])
        assert weight.life.typical == pytest.approx(one["life"])


def test_the_front_by_days_is_that_of_all_full_prices(site, record, beside):
    site = dry(site)
    found = weigh(site, record, beside=beside)
    brute = [alone(site, found, choice, beside) for choice in choices_of(site, "main")]
    cost, met = ([one[key] for one in brute] for key in ("life", "met"))
    stands = no_other_beats(np.round(cost, 6), np.round(met, 12))
    expected = {brute[at]["choice"] for at in range(len(brute)) if stands[at]}
    assert len(expected) > 5
    assert {one.choice for one in found.by_days} == expected
    assert found.by_loads == ()


def test_the_front_by_loads_is_that_of_all_full_prices(site, found, brute):
    """No choice that meets the goals has fewer loads for less money; loads fall along the front."""
    marked = {one.choice for one in found.by_loads}
    assert marked
    assert all(weight.holds_out for weight in found.by_loads)
    loads = [one.worst_year_loads for one in found.by_loads]
    assert loads == sorted(loads, reverse=True)
    assert len(set(loads)) == len(loads)
    for one in (one for one in brute if one["meets"]):
        assert any(
            weight.worst_year_loads <= one["worst_loads"]
            and weight.life.typical <= one["life"] + 1e-6
            for weight in found.by_loads
        )


def test_the_cheapest_that_meets_every_goal(found, brute):
    meeting = [one for one in brute if one["meets"]]
    least = min(one["life"] for one in meeting)
    assert found.cheapest.life.typical == pytest.approx(least)
    assert found.cheapest.meets_goals


def test_the_best_step_by_brute_force(site, found, brute):
    """One thing changed, days gained for its price; no purchase where it costs nothing."""
    present, steps = brute[0], []
    for one in brute[1:]:
        changed = {
            "tank": (one["choice"].count, one["choice"].each_l) != (2, 3000.0),
            "roof": one["choice"].roof_m2 != 110.0,
            "fixtures": one["choice"].fixtures != 1.0,
            "garden": one["choice"].garden != 1.0,
            "rations": not one["choice"].rations,
        }
        price_, gain = one["first"] - present["first"], one["met"] - present["met"]
        if sum(changed.values()) == 1 and price_ > 1e-6 and gain > 1e-9:
            steps.append((gain / price_, one["choice"]))
    assert steps
    assert found.step.weight.choice == max(steps)[1]
    assert found.step.price > 0.0


def test_the_present_is_exactly_what_design_says(site, record, beside, found):
    drawn = design(site, record, beside=beside)
    figures, present = drawn.drawn.reliability, found.present
    assert present.supplied_share == figures.supplied_share
    assert present.days_met_share == figures.days_met_share
    assert present.worst_year_loads == figures.worst_year_loads
    assert present.loads_year == pytest.approx(figures.loads_year, rel=1e-12)
    assert present.meets_goals == drawn.sizing.meets_goal
    assert present.first == drawn.reckoned.priced.first
    assert present.life.typical == pytest.approx(drawn.reckoned.life.present.typical, rel=1e-12)


def test_the_fronts_rise_in_cost_and_in_what_they_give(found):
    for marked, good in (
        (found.by_days, lambda one: one.days_met_share),
        (found.by_loads, lambda one: -one.worst_year_loads),
    ):
        costs, goods = [one.life.typical for one in marked], [good(one) for one in marked]
        assert costs == sorted(costs)
        assert goods == sorted(goods)


def test_a_front_of_at_most_so_many_with_its_ends(site, record, beside):
    found, few = (weigh(dry(site), record, beside=beside, most_full=most) for most in (20, 3))
    assert len(few.by_days) == 3
    assert all(one.full for one in (*few.by_days, *few.by_loads))
    assert few.by_days[0].choice == found.by_days[0].choice
    assert few.by_days[-1].choice == found.by_days[-1].choice


# A full price that moves the front.


def test_a_full_price_draws_the_front_again(record, beside):
    """The rebate gives back no more than is spent, so that what changes add does not add up.

    It covers a larger tank alone and a larger roof alone. As a sum of changes both together are
    free of cost too and beat either; in truth they cost what the rebate does not cover.
    """
    lasting = tuple(replace(price_, life_years=None) for price_ in beside.prices.prices)
    beside = Beside(prices=replace(beside.prices, prices=lasting))
    asked = Weighing("main", each_l=(3000.0, 6000.0), counts=(2,), roofs_m2=(220.0,))
    plain = dry(made_up(weighing=asked))
    listed = choices_of(plain, "main")
    assert len(listed) == 4
    firsts = [take_off_cost(plain, one, beside) for one in listed]
    either = max(firsts[at] for at, one in enumerate(listed) if changes(one, listed[0]) == 1)
    site = replace(plain, money=replace(plain.money, rebates=(Rebate("county", either),)))
    found = weigh(site, record, beside=beside)
    full = [alone(site, found, choice, beside) for choice in listed]
    good = np.round([one["met"] for one in full], 12)
    summed = [rough_cost(site, found, one, beside) for one in full]
    rough, true = (
        {
            choice
            for choice, stands in zip(listed, no_other_beats(cost, good), strict=True)
            if stands
        }
        for cost in (np.round(summed, 6), np.round([one["life"] for one in full], 6))
    )
    assert len(rough) == 1
    assert len(true) == 2
    assert all(one.full for one in found.by_days)
    assert {one.choice for one in found.by_days} == true


def changes(choice, present):
    return (choice.each_l != present.each_l) + (choice.roof_m2 != present.roof_m2)


def take_off_cost(site, choice, beside):
    parts = take_off(rebuilt(site, choice, tank="main")).parts
    return price_parts(parts, beside.prices, money=site.money).first.typical


def rough_cost(site, found, one, beside):
    """The price as a sum of changes, with the loads of the choice."""
    pricing = Pricing("main", beside.prices, found.design.reckoned.energy, {})
    price_ = separable(site, [one["choice"]], pricing=pricing)
    return (price_.worth(one["choice"]).life + price_.bought(one["loads"], 0.0)).typical


# Tanks that are there already.


def test_more_of_the_same_are_bought_beside_those_that_are_there(record, beside):
    plain = made_up(weighing=Weighing("main", counts=(2, 3)))
    have = replace(plain, money=replace(plain.money, have=("tank 'main'",)))
    bought, there = (weigh(one, record, beside=beside) for one in (plain, have))
    step, same = there.step, bought.step
    assert there.present.first.typical < bought.present.first.typical
    assert step.weight.choice.count == 3
    assert step.price == pytest.approx(same.price)


def test_another_size_is_bought_whole_in_place_of_those_that_are_there(record, beside):
    plain = made_up(weighing=Weighing("main", each_l=(9000.0,), counts=(2,)))
    have = replace(plain, money=replace(plain.money, have=("tank 'main'",)))
    bought, there = (weigh(one, record, beside=beside) for one in (plain, have))
    assert there.step.weight.first.typical == pytest.approx(bought.step.weight.first.typical)
    assert there.step.price > bought.step.price


# The answer.


def test_the_answer_is_plain_and_the_same_again(site, record, beside, found):
    told = weighed_answer(found)
    jsonschema.validate(told, schema("weighed"))
    assert weighed_answer(weigh(site, record, beside=beside)) == told
