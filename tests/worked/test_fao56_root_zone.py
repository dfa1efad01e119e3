"""FAO Irrigation and Drainage Paper 56, chapter 8, eq. 84, 85, 88 (MEMORY): ten days by hand.

Soil holds 100 mm/m x 0.4 m = 40 mm, of which 0.5 = 20 mm before watering. ET0 5 mm, factor 0.8:
4 mm a day; below 20 mm the use is 4 x (40 - depletion) / 20. Rain below 0.2 x 5 = 1 mm is lost.
"""

import numpy as np
import pytest

from eavewell.demand.landscape import root_zone_fao56
from eavewell.site.calendar import Calendar
from eavewell.site.want import Plants
from eavewell.weather.days import Days

DATES = np.datetime64("2001-07-01") + np.arange(10)
RAIN_MM = np.array([0.0, 0.0, 0.9, 0.0, 0.0, 0.0, 10.0, 2.0, 0.0, 0.0])
DAYS = Days(DATES, RAIN_MM, np.full(10, 5.0))
ALWAYS = Calendar()


def bed(calendar):
    return Plants("bed", 50.0, 0.8, 0.4, 100.0, 0.5, 0.8, calendar)


def test_watered():
    # day            1  2  3   4   5   6  7   8  9  10
    # morning short  0  4  8  12  16  20  0   0  2   6   day 6: 20 >= 20, water 20 mm
    # evening short  4  8 12  16  20   4  0   2  6  10   day 7: 4 - 10 + 4 = -2, 2 mm drain
    zone = root_zone_fao56(bed(ALWAYS), DAYS)
    assert zone.depletion_mm == pytest.approx([4, 8, 12, 16, 20, 4, 0, 2, 6, 10])
    assert zone.drained_mm == pytest.approx([0, 0, 0, 0, 0, 0, 2, 0, 0, 0])
    assert zone.effective_rain_mm == pytest.approx([0, 0, 0, 0, 0, 0, 10, 2, 0, 0])
    # 20 mm x 50 m2 / 0.8 = 1,250 L on day 6 alone.
    assert zone.irrigation_l == pytest.approx([0, 0, 0, 0, 0, 1250, 0, 0, 0, 0])


def test_never_watered_out_of_season_uses_less_when_short():
    # day 6: 20 mm short, use 4.0 -> 24; day 7: rain 10 -> 14, use 4 -> 18;
    # day 8: rain 2 -> 16 -> 20; day 9: 20 -> 24; day 10: 24, use 4 x 16 / 20 = 3.2 -> 27.2.
    zone = root_zone_fao56(bed(Calendar(months=frozenset({1}))), DAYS)
    assert zone.depletion_mm == pytest.approx([4, 8, 12, 16, 20, 24, 18, 20, 24, 27.2])
    assert zone.used_mm == pytest.approx([4.0] * 9 + [3.2])
    assert not zone.irrigation_l.any()
