"""NRC 1996 after Winchester & Morris 1956, as reprinted by Ohio State 30 May 2007 (FOUND)."""

import numpy as np
import pytest

from eavewell.demand.livestock import animals_l
from eavewell.site.want import Animals
from eavewell.weather.days import Days

GAL, LB = 3.785411784, 0.45359237
AIR_C = (np.array([70.0, 80.0, 90.0]) - 32.0) / 1.8
DAYS = Days(np.datetime64("2001-06-01") + np.arange(3), np.zeros(3), np.zeros(3), AIR_C, AIR_C)


@pytest.mark.parametrize(
    ("species", "weight_lb", "gallons"),
    [
        ("growing cattle", 500, (6.5, 7.4, 10.6)),
        ("growing cattle", 800, (9.3, 10.6, 14.0)),
        ("finishing cattle", 800, (10.8, 12.3, 16.5)),
        ("pregnant heifer", 750, (9.0, 10.3, 14.6)),
        ("dry pregnant cow", 1200, (10.8, 12.4, 17.6)),
        ("lactating cow", 1200, (16.3, 17.9, 21.6)),
        ("bull", 1600, (12.7, 14.5, 19.5)),
    ],
)
def test_every_cell(species, weight_lb, gallons):
    # The bull at 80 F is 14.5; a copy that prints 14.6 is not followed.
    herd = Animals(species, 10.0, weight_kg=weight_lb * LB)
    assert animals_l(herd, DAYS) / GAL / 10.0 == pytest.approx(gallons, abs=0.001)
