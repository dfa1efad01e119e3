"""Gaps filled from a neighbour by the normal ratio and from other years; worked by hand."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from eavewell.faults import BadRecord
from eavewell.site.rain_record import Mark, RainRecord
from eavewell.weather.gaps import extend, fill

FIRST = date(2001, 1, 1)


def record(rain_mm, first_day=FIRST, **more):
    rain_mm = np.asarray(rain_mm, dtype=float)
    marks = np.where(np.isnan(rain_mm), Mark.MISSING, 0).astype(np.uint16)
    return RainRecord("invented", first_day, rain_mm, marks, **more)


def test_normal_ratio():
    own, beside = np.full(800, 3.0), np.full(800, 2.0)
    own[10:13] = np.nan
    beside[10:13] = [0.0, 4.0, 10.0]
    filled = fill(record(own), record(beside))
    # Both gauges read 797 days: 3 x 797 / (2 x 797) = 1.5.
    assert filled.rain_mm[10:13] == pytest.approx([0.0, 6.0, 15.0])
    assert set(filled.marks[10:13]) == {int(Mark.FILLED_NEIGHBOUR)}
    assert filled.marks[9] == 0
    assert any("1.500" in note for note in filled.notes)


def test_a_whole_gap_comes_from_one_year_and_its_season():
    years = 6
    rain_mm = np.concatenate([np.arange(365) + 1000.0 * k for k in range(years)])
    rain_mm[365 + 100 : 365 + 160] = np.nan
    filled = fill(record(rain_mm), seed=3)
    piece = filled.rain_mm[465:525]
    assert np.diff(piece) == pytest.approx(np.ones(59))
    assert abs(piece[0] % 1000 - 100) <= 15 + 2
    assert set(filled.marks[465:525]) == {int(Mark.FILLED_SEASON)}
    assert fill(record(rain_mm), seed=3).rain_mm == pytest.approx(filled.rain_mm)


def test_temperatures_take_the_mean_of_the_calendar_day():
    warm = np.concatenate([np.full(365, 10.0), np.full(365, 20.0), np.full(365, 30.0)])
    warm[365 + 50] = np.nan
    filled = fill(record(np.ones(1095), tmax_c=warm, tmin_c=warm - 5))
    assert filled.tmax_c[365 + 50] == pytest.approx((10 + 30) / 2)
    assert filled.tmin_c[365 + 50] == pytest.approx(15.0)


def test_extend_is_scaled_by_month_and_marked():
    days = 1461
    months = np.array([(FIRST + timedelta(days=k)).month for k in range(days)])
    beside = np.full(days, 2.0)
    own = np.where(months == 1, 6.0, 1.0)[366:]
    longer = extend(record(own, FIRST + timedelta(days=366)), record(beside))
    assert longer.first_day == FIRST
    assert longer.days == days
    assert longer.rain_mm[:31] == pytest.approx(np.full(31, 6.0))
    assert longer.rain_mm[31:365] == pytest.approx(np.full(334, 1.0))
    assert set(longer.marks[:366]) == {int(Mark.EXTENDED)}
    assert longer.rain_mm[366:] == pytest.approx(own)


def test_strangers_are_refused():
    with pytest.raises(BadRecord, match="in common"):
        extend(record(np.ones(400)), record(np.ones(400), date(1990, 1, 1)))


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 2**32 - 1), st.floats(0.0, 0.6))
def test_nothing_measured_is_touched_and_no_gap_is_left(seed, share):
    draw = np.random.default_rng(seed)
    rain_mm = draw.gamma(0.3, 8.0, 1500)
    rain_mm[draw.random(1500) < share] = np.nan
    rain_mm[0] = 1.0
    before = record(rain_mm)
    after = fill(before, seed=seed)
    assert not after.missing.any()
    known = ~before.missing
    assert (after.rain_mm[known] == rain_mm[known]).all()
    assert (after.marks[known] == 0).all()
    assert set(after.rain_mm) <= set(rain_mm[known])
