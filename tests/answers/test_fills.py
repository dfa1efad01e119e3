"""What fills a barrel: depth of rain on its own roof, and its yearly water, by arithmetic."""

from datetime import date

import pytest

from eavewell.answers import answer
from eavewell.design import design


def test_rain_that_fills_a_barrel(making):
    # 10 m2 of metal at 0.95; 200 L usable: 200 / 9.5 = 21.05 mm
    record = making.record(making.every_tenth_day(3650, 10.0), latitude=30.0, longitude=-98.0)
    found = answer(design(making.site(), record, today=date(2011, 1, 1)))
    (store,) = found["storage"]["stores"]
    share = found["roofs"][0]["runoff_coefficient"]
    assert store["roof_m2"] == 10.0
    assert store["fills_with_mm"] == pytest.approx(200.0 / (10.0 * share))
    # the same water as the roof's own line says
    assert store["roof_l_per_year"] == pytest.approx(found["roofs"][0]["mean_year_l"])


def test_a_tank_that_no_roof_feeds_has_no_such_rain(making):
    tanks = (making.tank(), making.tank(name="header"))
    record = making.record(making.every_tenth_day(1200, 10.0), latitude=30.0, longitude=-98.0)
    found = answer(design(making.site(tanks=tanks), record, today=date(2005, 1, 1)))
    assert found["storage"]["stores"][1]["fills_with_mm"] is None
