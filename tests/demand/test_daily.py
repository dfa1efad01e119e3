import numpy as np
import pytest

from eavewell.demand.assumptions import assumptions
from eavewell.demand.daily import demand_l
from eavewell.demand.household import fixture, surveyed_household
from eavewell.faults import BadSite
from eavewell.site.calendar import Calendar
from eavewell.site.use import Use
from eavewell.site.want import Animals, Cooler, People, Plants, Washing
from eavewell.weather.days import Days

# Monday 1 January 2001 and the six days after it.
DATES = np.datetime64("2001-01-01") + np.arange(7)
COOL = Days(DATES, np.zeros(7), np.zeros(7))
WEEKEND = Calendar(weekdays=frozenset({5, 6}))


def use(*wants, **more):
    return Use("house", "indoor", wants, ("main",), **more)


def test_guests_come_on_top_at_the_weekend():
    wanted_l = demand_l(use(People(2, 100.0), People(3, 50.0, WEEKEND)), COOL)
    assert wanted_l.tolist() == [200.0] * 5 + [350.0] * 2


def test_a_leak_is_a_share_of_the_water_drawn():
    # 90 L wanted and a tenth of the draw leaks: 100 L drawn, 10 L lost.
    assert demand_l(use(Washing("yard", 90.0), leak_share=0.1), COOL) == pytest.approx([100.0] * 7)


def test_a_cooler_runs_above_its_start_temperature():
    tmax_c = np.array([20.0, 27.0, 27.1, 40.0, 10.0, 30.0, 26.9])
    warm = Days(DATES, np.zeros(7), np.zeros(7), tmax_c, tmax_c - 10.0)
    assert demand_l(use(Cooler(250.0, 27.0)), warm).tolist() == [0, 0, 250, 250, 0, 250, 0]


def test_a_measured_figure_overrides_the_table():
    assert demand_l(use(Animals("llama", 4, each_l_day=5.0)), COOL).tolist() == [20.0] * 7


def test_a_use_without_wants_wants_nothing():
    assert demand_l(use(), COOL).tolist() == [0.0] * 7


def test_every_fault_is_said_at_once():
    bad = use(People(-1, 100.0), Plants("bed", 10.0, 0.5, 0.5, 100.0, 1.5, 0.0), leak_share=1.0)
    with pytest.raises(BadSite) as caught:
        demand_l(bad, COOL)
    said = str(caught.value)
    assert len(caught.value.faults) == 4
    assert all(word in said for word in ("leak share", "count", "depletion_share", "efficiency"))


@pytest.mark.parametrize("number", [float("nan"), float("inf"), -0.1])
def test_a_number_that_is_no_amount_is_refused(number):
    with pytest.raises(BadSite):
        demand_l(use(Washing("yard", number)), COOL)


def test_an_unknown_species_names_the_known_ones():
    with pytest.raises(BadSite, match=r"llama.*beef cow.*each_l_day"):
        demand_l(use(Animals("llama", 1)), COOL)


def test_unknown_fixtures_and_surveys_name_the_known_ones():
    with pytest.raises(BadSite, match="known are toilet"):
        fixture("fountain")
    with pytest.raises(BadSite, match="how often"):
        fixture("bath")
    with pytest.raises(BadSite, match="reu_2016"):
        surveyed_household("none")


def test_without_temperatures_the_middle_column_is_taken_and_said():
    herd = use(Animals("beef cow", 1.0, weight_kg=1300 * 0.45359237))
    assert demand_l(herd, COOL) / 3.785411784 == pytest.approx([11.8] * 7, abs=0.001)
    assert any("No temperatures" in said and "65 F" in said for said in assumptions(herd, COOL))


def test_what_was_assumed_is_said_once():
    air_c = np.array([40.0, 40.0, 20.0, 20.0, 20.0, 20.0, -5.0])
    days = Days(DATES, np.zeros(7), np.zeros(7), air_c, air_c)
    said = assumptions(
        use(Animals("beef cow", 1), Animals("beef cow", 2), Animals("goat", 1), leak_share=0.05),
        days,
    )
    assert len(said) == len(set(said))
    assert any("2 days are warmer" in one for one in said)
    assert any("1 days are colder" in one for one in said)
    assert any("weight not stated" in one and "1,300 lb" in one for one in said)
    assert any("Goat" in one and "no temperatures" in one for one in said)
    assert any("5 %" in one for one in said)


def test_nothing_assumed_nothing_said():
    assert assumptions(use(People(2, 100.0)), COOL) == ()
