"""First flushes on a record: the usual dry gap and the yearly loss, by hand."""

from dataclasses import replace

import numpy as np
import pytest

from eavewell.hydraulics.flushes import first_flushes, usual_gap_days
from eavewell.site.first_flush import FirstFlush


def test_the_usual_gap_is_the_middle_dry_run():
    # wet on days 0, 1, 4, 9, 10, 20: dry runs of 2, 4 and 9 days, the middle one 4
    rain_mm = np.zeros(25)
    rain_mm[[0, 1, 4, 9, 10, 20]] = 5.0
    assert usual_gap_days(rain_mm) == 4
    assert usual_gap_days(np.zeros(9)) is None
    assert usual_gap_days(np.ones(9)) is None


def test_a_flush_takes_its_depth_from_every_rain(making):
    # 10 mm on every tenth day of ten years; each rain fills the 1 mm chamber: 36.525 mm a year
    days = making.days(making.every_tenth_day(3650))
    roof = replace(making.roof(100.0), first_flush=FirstFlush(depth_mm=1.0))
    (flush,) = first_flushes(making.site(roofs=(roof,)), days)
    assert flush.gap_days == 9
    assert flush.loss.lost_l_year == pytest.approx(365 * 100 / 3650 * 365.25)
    assert first_flushes(making.site(), days) == ()
