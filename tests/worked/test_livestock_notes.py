"""Farm water notes (FOUND): K-State handbook; AgriLife E-450; Hindawi 8504283 table 1; NZ notes.

Deer and quail are from memory.
"""

import numpy as np
import pytest

from eavewell.demand.livestock import animals_l
from eavewell.site.want import Animals
from eavewell.weather.days import Days

GAL, LB = 3.785411784, 0.45359237


def at_f(*air_f):
    air_c = (np.array(air_f) - 32.0) / 1.8
    none = np.zeros(air_c.size)
    return Days(np.datetime64("2001-06-01") + np.arange(air_c.size), none, none, air_c, air_c)


def test_kstate_handbook_cows():
    nursing = animals_l(Animals("nursing cow", 1.0), at_f(40, 60, 80)) / GAL
    assert nursing == pytest.approx([11.4, 14.5, 17.9], abs=0.001)
    wintering = animals_l(Animals("wintering pregnant cow", 1.0), at_f(40, 60)) / GAL
    assert wintering == pytest.approx([6.0, 7.4], abs=0.001)
    assert 15.0 <= animals_l(Animals("dairy cow", 1.0), at_f(65))[0] / GAL <= 30.0


def test_kstate_handbook_horse_one_gallon_for_a_hundred_pounds():
    for weight_lb in (800, 1000, 1300, 1600):
        horse = Animals("horse", 1.0, weight_kg=weight_lb * LB)
        assert animals_l(horse, at_f(65))[0] / GAL == pytest.approx(weight_lb / 100, abs=0.001)


def test_agrilife_e450_ranges():
    for weight_lb in (1100, 1300, 1500):
        dry = Animals("beef cow", 1.0, weight_kg=weight_lb * LB)
        assert all(7.0 <= gallons <= 18.0 for gallons in animals_l(dry, at_f(40, 90)) / GAL)
        horse = Animals("horse", 1.0, weight_kg=weight_lb * LB)
        assert 8.0 <= animals_l(horse, at_f(65))[0] / GAL <= 18.0


@pytest.mark.parametrize(
    ("species", "litres"),
    [
        ("milking cow on pasture", 70),
        ("dry cattle", 45),
        ("calf", 25),
        ("working horse", 55),
        ("grazing horse", 35),
        ("sheep", 4),
        ("lamb", 1),
        ("sow", 25),
    ],
)
def test_new_zealand_litres_a_head(species, litres):
    assert animals_l(Animals(species, 3.0), at_f(65))[0] == pytest.approx(3.0 * litres)


def test_birds_by_the_hundred():
    assert animals_l(Animals("poultry", 100.0), at_f(65))[0] == pytest.approx(20.0)
    assert 6.0 <= animals_l(Animals("chicken", 100.0), at_f(65))[0] / GAL <= 12.0
    assert 5.0 <= animals_l(Animals("laying hen", 100.0), at_f(65))[0] / GAL <= 7.5


def test_hindawi_goat_and_wild_visitors():
    assert animals_l(Animals("goat", 1.0), at_f(65))[0] / GAL == pytest.approx(2.0, abs=0.001)
    assert 0.5 <= animals_l(Animals("deer", 1.0), at_f(65))[0] / GAL <= 1.5
    assert animals_l(Animals("quail", 1.0), at_f(65))[0] / GAL == pytest.approx(0.01, abs=0.001)
