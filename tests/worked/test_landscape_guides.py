"""UC/DWR Guide to estimating irrigation water needs p. 39, 47; a garden page's formula (FOUND)."""

import numpy as np
import pytest

from eavewell.demand.landscape import root_zone_fao56
from eavewell.site.want import Plants
from eavewell.tables import table
from eavewell.weather.days import Days

GAL, FT2, INCH = 3.785411784, 0.09290304, 25.4


def steady(et0_mm, *, factor, efficiency, area_m2=1.0, days=400):
    dates = np.datetime64("2001-01-01") + np.arange(days)
    weather = Days(dates, np.zeros(days), np.full(days, et0_mm))
    bed = Plants("bed", area_m2, factor, 0.5, 100.0, 0.5, efficiency)
    return root_zone_fao56(bed, weather)


@pytest.mark.parametrize(
    ("efficiency", "inches"), [(0.7, 5.314), (0.3, 12.4), (0.6, 6.2), (0.9, 4.133)]
)
def test_total_water_applied_is_landscape_use_over_efficiency(efficiency, inches):
    # ET_L 3.72 in over 31 rainless days. In the long run what is given is what was used / IE.
    zone = steady(3.72 * INCH / 31.0, factor=1.0, efficiency=efficiency, days=31 * 40)
    given_mm = zone.irrigation_l.sum() + zone.depletion_mm[-1] / efficiency
    assert given_mm / 40.0 / INCH == pytest.approx(inches, abs=0.001)


def test_new_planting_factor():
    assert table("plant_factors")["new low-water planting"].value == pytest.approx(0.2 * 0.5 * 1.0)


def test_garden_page_gallons_a_day():
    # 0.25 in/d x 0.5 x 1,500 ft2 x 0.62 / 0.75 = 155.0 gal/d; exact constant 0.62338: 155.8.
    zone = steady(0.25 * INCH, factor=0.5, efficiency=0.75, area_m2=1500 * FT2)
    kept_l = zone.depletion_mm[-1] * 1500 * FT2 / 0.75
    assert (zone.irrigation_l.sum() + kept_l) / 400.0 / GAL == pytest.approx(155.8, abs=0.1)


@pytest.mark.parametrize(
    ("plants", "factor"),
    [
        ("cool-season turf", 1.0),
        ("water-loving plants", 0.8),
        ("average plants", 0.5),
        ("low-water plants", 0.3),
    ],
)
def test_plant_factors(plants, factor):
    assert table("plant_factors")[plants].value == factor
