import numpy as np
import pytest

from eavewell.faults import OutOfRange
from eavewell.tables import table
from eavewell.weather.snow import melt


def run(rain_mm, tmean_c, **more):
    tmean = np.array(tmean_c, dtype=float)
    return melt(np.array(rain_mm, dtype=float), tmax_c=tmean + 5.0, tmin_c=tmean - 5.0, **more)


def test_six_days_by_hand():
    # Rate 3 mm/C/day, snow below 1 C. Day: fell, melts at most, waiting at night.
    # 1: 10 snow at -4, 0 -> 10.  2: 5 snow at -1, 0 -> 15.  3: dry at 2, 6 -> 9.
    # 4: 8 rain at 2, 6 -> 3, water 8 + 6.  5: dry at 4, 12 -> 0, only 3 left to melt.
    # 6: 4 rain at 5, nothing waits.
    found = run([10, 5, 0, 8, 0, 4], [-4, -1, 2, 2, 4, 5], snow_below_c=1.0, melt_rate_mm_c=3.0)
    assert found.waiting_mm.tolist() == [10, 15, 9, 3, 0, 0]
    assert found.snow_melt_mm.tolist() == [0, 0, 6, 6, 3, 0]
    assert found.rain_mm.tolist() == [0, 0, 0, 8, 0, 4]
    assert found.water_mm.tolist() == [0, 0, 6, 14, 3, 4]


def test_snow_a_little_above_freezing_melts_from_the_first_day():
    # Half a degree: under the snow limit of 1 C, and 0.5 x 2.74 = 1.37 mm melt on the same day.
    found = run([5.0], [0.5])
    assert found.rain_mm[0] == 0.0
    assert found.snow_melt_mm[0] == pytest.approx(1.37)


def test_a_warm_record_passes_unchanged():
    found = run([3, 0, 12], [15, 20, 18])
    assert found.water_mm.tolist() == [3, 0, 12]
    assert not found.waiting_mm.any()


def test_melt_rate_in_inches():
    # neh630_11: 0.060 in a degree F-day, 0.035 to 0.13; FOUND in a copy with 2.74, 1.6 to 6.0 mm.
    row = table("snow")["melt_rate"]
    inches = np.array([0.060, 0.035, 0.13]) * 25.4 * 1.8
    assert [row.value, row.low, row.high] == pytest.approx(inches, rel=0.015)


def test_gaps_and_exchanged_columns_are_refused():
    with pytest.raises(OutOfRange, match="fill the gaps"):
        run([1.0, np.nan], [0.0, 0.0])
    with pytest.raises(OutOfRange, match="columns exchanged"):
        melt(np.ones(1), tmax_c=np.zeros(1), tmin_c=np.ones(1))
