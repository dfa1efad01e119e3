"""A roof's own share, as its log found it, stands in place of its finish's usual one."""

from dataclasses import replace

import numpy as np
import pytest

from eavewell.catchment.runoff import roof_water, runoff_share
from eavewell.faults import BadSite
from eavewell.files.site.reader import site_of_text
from eavewell.site.roof import Sheds


def test_the_share_found_stands_for_the_usual_one(making):
    roof = replace(making.roof(), sheds=Sheds(0.7, 0.6, 0.8))
    water = roof_water(roof, np.array([10.3]))
    assert water.runoff_mm[0] == pytest.approx(10.0 * 0.7)  # 0.3 mm wets a metal roof first
    low, high = (roof_water(roof, np.array([10.6]), band=band) for band in ("low", "high"))
    assert low.runoff_mm[0] == pytest.approx(10.0 * 0.6)
    assert high.runoff_mm[0] == pytest.approx(10.5 * 0.8)
    assert runoff_share(making.roof()).value == 0.9


SITE = """
name = "made up"
[place]
latitude = 30
longitude = -98
elevation = "400 m"
[rain]
climate = "dry-uplands"
[[roof]]
name = "house"
area = "100 m2"
finish = "metal"
drains_to = "main"
{sheds}
[[tank]]
name = "main"
each = "10,000 L"
[[use]]
name = "house"
class = "indoor"
draws_from = ["main"]
people = 2
each = "100 L/day"
"""


def test_it_is_read_with_its_range():
    text = SITE.format(sheds='sheds = "84 %"\nsheds_low = "80 %"\nsheds_high = "88 %"')
    assert site_of_text(text).roofs[0].sheds == Sheds(0.84, 0.80, 0.88)
    assert site_of_text(SITE.format(sheds="")).roofs[0].sheds is None


def test_a_range_that_does_not_rise_is_refused():
    with pytest.raises(BadSite, match="must rise"):
        site_of_text(SITE.format(sheds='sheds = "84 %"\nsheds_low = "90 %"'))
    with pytest.raises(BadSite, match="give sheds"):
        site_of_text(SITE.format(sheds='sheds_low = "90 %"'))
