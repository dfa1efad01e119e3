"""Less rain and more use, and a drought given by months."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from eavewell.faults import BadRecord
from eavewell.site.rain import DroughtRow, Rain
from eavewell.storage.doubts import doubts
from eavewell.storage.drawn import as_drawn
from eavewell.storage.series import series
from eavewell.storage.sizing import size_system
from eavewell.storage.worse import named_drought, outcome, stress
from eavewell.tables import table


def drought(*depths_mm, first=1):
    return tuple(DroughtRow((first + k - 1) % 12 + 1, depth) for k, depth in enumerate(depths_mm))


@given(seed=st.integers(0, 10**6), usable_l=st.floats(20.0, 3000.0), each_l=st.floats(1.0, 60.0))
@settings(max_examples=25, deadline=None)
def test_stress_is_never_better(making, seed, usable_l, each_l):
    """Law: less rain on fewer days and more use supply no larger share, one store from a start."""
    site = making.site(tanks=(making.tank(usable_l, start_share=1.0),), uses=(making.use(each_l),))
    days = making.days(making.wet_and_dry(3, seed=seed))
    plain, worse = outcome(site, days), stress(site, days, seed=seed).outcome
    assert worse.supplied_share <= plain.supplied_share + 1e-9
    assert worse.inflow_l_year <= plain.inflow_l_year
    assert worse.uses[0].wanted_l_year == pytest.approx(1.1 * plain.uses[0].wanted_l_year)


def test_stress_names_its_factors(making):
    found = stress(making.site(), making.days(making.wet_and_dry(2)))
    factors = table("stress")
    assert found.depth_factor == factors["depth"].value
    assert found.wet_day_factor == factors["wet_days"].value
    assert found.use_factor == factors["use"].value


def test_melt_is_never_more_than_the_rain_left(making):
    days = making.days(making.wet_and_dry(2))
    days = replace(days, snow_melt_mm=days.rain_mm * 0.5)
    assert stress(making.site(), days).outcome.supplied_share <= 1.0


@pytest.mark.parametrize("first", [1, 2, 11])
def test_a_drought_keeps_its_months_exactly(making, first):
    depths = (3.0, 0.0, 41.5, 7.25, 120.0, 0.1, 12.0, 9.0, 30.0, 1.0, 2.0, 80.0) * 2
    rows = drought(*depths, first=first)
    found = named_drought(making.days(making.wet_and_dry(12)), rows)
    months = found.dates.astype("datetime64[M]")
    names = np.unique(months)
    assert [int(m) % 12 + 1 for m in names.astype(int)] == [row.month for row in rows]
    sums = [found.rain_mm[months == month].sum() for month in names]
    assert sums == pytest.approx([row.rain_mm for row in rows], abs=1e-9)
    lengths = [int((months == month).sum()) for month in names]
    assert all(28 <= length <= 31 for length in lengths)
    assert (np.diff(found.dates).astype(int) == 1).all()


def test_a_drought_takes_the_pattern_of_the_nearest_month(making):
    # January 2001 has 10 mm on the 5th, January 2002 50 mm on the 9th, January 2003 nothing.
    rain = np.zeros(1095)
    rain[4], rain[365 + 8] = 10.0, 50.0
    days = making.days(rain)
    near = named_drought(days, drought(40.0))
    assert (np.flatnonzero(near.rain_mm).tolist(), near.rain_mm[8]) == ([8], pytest.approx(40.0))
    low = named_drought(days, drought(1.0))
    assert (np.flatnonzero(low.rain_mm).tolist(), low.rain_mm[4]) == ([4], pytest.approx(1.0))
    assert not named_drought(days, drought(0.0)).rain_mm.any()


def test_a_month_that_never_had_rain_takes_another_months(making):
    rain = np.zeros(1095)
    rain[4] = 10.0
    found = named_drought(making.days(rain), drought(5.0, first=7))
    assert found.rain_mm.sum() == pytest.approx(5.0)


def test_a_record_without_rain_makes_no_drought_with_rain(making):
    with pytest.raises(BadRecord, match="no rain"):
        named_drought(making.days(np.zeros(800)), drought(5.0))


def test_melt_and_weather_come_along(making):
    days = making.days(making.wet_and_dry(3))
    days = replace(
        days,
        et0_mm=np.arange(days.count, dtype=float),
        tmax_c=np.arange(days.count, dtype=float),
        snow_melt_mm=days.rain_mm * 0.25,
    )
    found = named_drought(days, drought(20.0, 30.0))
    assert found.snow_melt_mm == pytest.approx(found.rain_mm * 0.25)
    assert (found.tmax_c == found.et0_mm).all()
    assert (np.diff(found.et0_mm[:31]) == 1.0).all()


def judged(making, rain, **fields):
    """Five years of 10 mm every tenth day; the level of 31 August is the usual one by hand."""
    site = making.site(rain=rain, **fields)
    days = making.days(making.every_tenth_day(1826))
    water = series(site, days)
    drawn, sizing = as_drawn(site, water), size_system(site, water)
    return doubts(site, days, drawn=drawn, sizing=sizing), drawn, water


def test_the_drought_begins_at_the_usual_level(making):
    # No rain in three months: what the usual level of a January holds, and no more, is supplied.
    rain = Rain(record="made up", drought=drought(0.0, 0.0, 0.0))
    found, drawn, water = judged(making, rain)
    in_january = water.dates.astype("datetime64[M]").astype(int) % 12 == 0
    usual = np.median(drawn.every_day.level_l[in_january, 0])
    wanted = 8.0 * 90
    assert 0.0 < usual < wanted
    assert found.drought.supplied_share == pytest.approx(usual / wanted)
    assert found.drought.worst.missing_l == pytest.approx(wanted - usual)


@pytest.mark.parametrize(
    ("rain", "is_sized_again"),
    [
        (Rain(record="x"), True),
        (Rain(record="x", site_factor=(1.1,) * 12), False),
        (Rain(record="x", at_site=True), False),
        (Rain(climate="dry-uplands"), False),
    ],
)
def test_less_rain_is_tried_where_the_site_factor_is_unknown(making, rain, is_sized_again):
    found, _, _ = judged(making, rain)
    assert found.drier_factor == 0.8
    assert (found.drier_rain is not None) is is_sized_again
    if found.drier_rain is not None:
        # A wet day's 10 mm give 10 m2 less wetting and finish; four fifths of it need more roof.
        assert found.drier_rain.smallest_roof_m2 > 10.0 * 0.8


def test_doubts_span_the_finish_and_the_smallest_size(making):
    found, drawn, _ = judged(making, Rain(record="x"), uses=(making.use(8.8),))
    assert found.finish_low < drawn.reliability.supplied_share < found.finish_high
    assert found.drought is None
    assert found.chosen is None, "five years are too few to draw from"
