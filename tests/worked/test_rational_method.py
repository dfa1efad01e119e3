"""Engineering exam problems on the rational method (pages seen), and coefficients after ASCE.

FOUND: C 0.11, 1.25 in/h, 30 acres: 4.125 cfs; 0.85 x 4.5 x 2: 7.65 cfs; 1 acre-inch an hour is
1.008 cfs, which the problems round to 1.
"""

import pytest

from eavewell.faults import OutOfRange
from eavewell.stormwater.rational import peak_l_s_rational
from eavewell.tables import table

ACRE, INCH, CFS = 4046.8564224, 25.4, 28.316846592


@pytest.mark.parametrize(
    ("c", "in_h", "acres", "cfs"), [(0.11, 1.25, 30, 4.125), (0.85, 4.5, 2, 7.65)]
)
def test_published_problems(c, in_h, acres, cfs):
    found = peak_l_s_rational(c, in_h * INCH, area_m2=acres * ACRE)
    assert found / CFS == pytest.approx(cfs * 1.008333, rel=1e-4)


def test_the_si_form():
    # Q = C I A / 360 with mm/h, hectares and m3/s
    assert peak_l_s_rational(0.5, 36.0, area_m2=10_000) == pytest.approx(0.5 * 36 / 360 * 1000)


def test_roofs_shed_more_than_lawns():
    c = table("rational")
    assert c["roof"].low == 0.75
    assert c["roof"].high == 0.95
    assert c["lawn on flat sand"].high < c["lawn on steep clay"].low < c["roof"].low


def test_what_is_out_of_range_is_refused():
    for c, rain, area in ((1.2, 10, 10), (0.5, -1, 10), (0.5, 10, 1e7)):
        with pytest.raises(OutOfRange):
            peak_l_s_rational(c, rain, area_m2=area)
