"""Kansas State University, Beef Tips 30 April 2018, water table (FOUND)."""

import numpy as np
import pytest

from eavewell.demand.livestock import animals_l
from eavewell.site.want import Animals
from eavewell.weather.days import Days

GAL, LB = 3.785411784, 0.45359237
AIR_F = (40.0, 65.0, 90.0)
CELLS = {
    (1100, 0): (8.2, 10.8, 13.4),
    (1100, 10): (10.5, 13.1, 15.7),
    (1100, 25): (12.8, 15.4, 17.9),
    (1300, 0): (9.2, 11.8, 14.3),
    (1300, 10): (12.2, 14.8, 17.4),
    (1300, 25): (14.5, 17.1, 19.7),
    (1500, 0): (10.2, 12.7, 15.3),
    (1500, 10): (14.0, 16.5, 19.1),
    (1500, 25): (16.3, 18.8, 21.4),
}


def drinks_gal(weight_lb, milk_lb, *air_f):
    air_c = (np.array(air_f) - 32.0) / 1.8
    dates = np.datetime64("2001-01-01") + np.arange(air_c.size)
    none = np.zeros(air_c.size)
    days = Days(dates, none, none, air_c + 5.0, air_c - 5.0)
    cow = Animals("beef cow", 1.0, weight_kg=weight_lb * LB, milk_kg_day=milk_lb * LB)
    return animals_l(cow, days) / GAL


@pytest.mark.parametrize(("weight_lb", "milk_lb"), CELLS)
def test_every_cell(weight_lb, milk_lb):
    expected = CELLS[weight_lb, milk_lb]
    assert drinks_gal(weight_lb, milk_lb, *AIR_F) == pytest.approx(expected, abs=0.001)


def test_one_gallon_for_each_ten_degrees_above_forty():
    # 9.2 + 2.5 = 11.7 at 65 F; 9.2 + 5.0 = 14.2 at 90 F.
    assert drinks_gal(1300, 0, 65.0, 90.0) == pytest.approx([11.7, 14.2], abs=0.2)


def test_straight_lines_between_the_points():
    # Halfway between 1,100 and 1,300 lb, dry, at 65 F: (10.8 + 11.8) / 2.
    assert drinks_gal(1200, 0, 65.0) == pytest.approx([11.3], abs=0.001)
    # Halfway between 10 and 25 lb of milk, 1,300 lb, at 65 F: (14.8 + 17.1) / 2.
    assert drinks_gal(1300, 17.5, 65.0) == pytest.approx([15.95], abs=0.001)
    # Halfway between 65 and 90 F, 1,300 lb, dry: (11.8 + 14.3) / 2.
    assert drinks_gal(1300, 0, 77.5) == pytest.approx([13.05], abs=0.001)


def test_beyond_the_table_its_edge_holds():
    assert drinks_gal(2000, 0, 20.0, 110.0) == pytest.approx([10.2, 15.3], abs=0.001)


@pytest.mark.parametrize("weight_lb", [1100, 1300, 1500])
def test_dry_cows_stay_within_one_to_two_gallons_for_a_hundred_pounds_in_heat(weight_lb):
    assert 1.0 <= drinks_gal(weight_lb, 0, 90.0)[0] / (weight_lb / 100.0) <= 2.0
