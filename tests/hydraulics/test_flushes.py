"""First flushes on a record: the yearly loss, by hand."""

from dataclasses import replace

import pytest

from eavewell.hydraulics.flushes import first_flushes
from eavewell.site.first_flush import FirstFlush


def test_a_flush_takes_its_depth_from_every_rain(making):
    # 10 mm on every tenth day of ten years; each rain fills the 1 mm chamber: 36.525 mm a year
    days = making.days(making.every_tenth_day(3650))
    roof = replace(making.roof(100.0), first_flush=FirstFlush(depth_mm=1.0))
    (flush,) = first_flushes(making.site(roofs=(roof,)), days)
    assert flush.gap_days == 9
    assert flush.loss.lost_l_year == pytest.approx(365 * 100 / 3650 * 365.25)
    assert first_flushes(making.site(), days) == ()
