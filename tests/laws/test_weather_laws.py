"""What must hold of evaporation, snow and drawn years for any input."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from eavewell.weather.evaporation import et0_mm_hargreaves_fao56
from eavewell.weather.snow import melt
from eavewell.weather.synthetic import resampled_rows, stressed
from eavewell.weather.wet_dry_chain import WetDryChain, scaled

seeds = st.integers(0, 2**32 - 1)
temperature = st.floats(-60.0, 45.0)


@settings(max_examples=60, deadline=None)
@given(
    arrays(float, 40, elements=st.floats(0.0, 300.0)),
    arrays(float, 40, elements=temperature),
    st.floats(1.6, 6.0),
)
def test_snow_makes_and_loses_nothing(rain_mm, tmean_c, rate):
    found = melt(rain_mm, tmax_c=tmean_c + 4, tmin_c=tmean_c - 4, melt_rate_mm_c=rate)
    assert (found.waiting_mm >= 0.0).all()
    assert (found.snow_melt_mm >= -1e-9).all()
    gone = np.cumsum(found.water_mm) + found.waiting_mm
    assert np.allclose(gone, np.cumsum(rain_mm), rtol=1e-12, atol=1e-9)


@settings(max_examples=60, deadline=None)
@given(
    st.floats(-40.0, 35.0),
    st.floats(0.0, 12.0),
    st.floats(0.0, 12.0),
    st.floats(-90, 90),
    st.integers(0, 365),
)
def test_evaporation_is_never_negative_and_rises_with_heat(tmin, spread, more, latitude, day):
    when = np.array(["2020-01-01"], dtype="M8[D]") + np.timedelta64(day, "D")
    cool, hot, wide = (
        et0_mm_hargreaves_fao56(tmin + spread + a, tmin + b, dates=when, latitude=latitude)[0]
        for a, b in ((0.0, 0.0), (more, more), (more, 0.0))
    )
    # a spread below a float's grain is lost in a warmer day: its root is below 1e-8
    assert 0.0 <= cool <= hot + 1e-6
    assert cool <= wide + 1e-12


DATES = np.arange("2001-01-01", "2007-07-01", dtype="M8[D]")


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 8), st.integers(1, 4), st.integers(1, 12), seeds)
def test_drawn_rows_are_days_of_the_record_in_unbroken_blocks(years, block, month, seed):
    rows = resampled_rows(
        DATES, years=years, block_years=block, first_month=month, traces=3, seed=seed
    )
    assert rows.shape == (years * 365, 3)
    assert rows.min() >= 0
    assert rows.max() < DATES.size
    step = np.diff(rows, axis=0)
    at_a_seam = np.arange(1, years * 365) % (block * 365) == 0
    # One day on; two where 29 February is left out.
    assert np.isin(step[~at_a_seam], (1, 2)).all()


@settings(max_examples=40, deadline=None)
@given(st.floats(0, 1), st.floats(0, 1), seeds)
def test_a_stressed_record_is_never_wetter(depth_factor, wet_day_factor, seed):
    rng = np.random.default_rng(seed)
    rain = np.where(rng.random(DATES.size) < 0.3, rng.gamma(0.8, 8.0, DATES.size), 0.0)
    found = stressed(
        rain, DATES, depth_factor=depth_factor, wet_day_factor=wet_day_factor, seed=seed
    )
    assert (found <= rain).all()
    assert (found >= 0.0).all()
    kept = found > 0.0
    assert np.allclose(found[kept], depth_factor * rain[kept])
    # To the nearest day in each of twelve months.
    if depth_factor > 0.01:
        assert abs(kept.sum() - wet_day_factor * (rain > 0).sum()) <= 6.0 + 1e-9


@settings(max_examples=40, deadline=None)
@given(st.floats(0.01, 1), st.floats(0.01, 1), st.floats(0, 3), st.floats(0, 3))
def test_a_scaled_chain_is_still_a_chain(after_dry, after_wet, depth_factor, wet_day_factor):
    chain = WetDryChain(*(np.full(12, value) for value in (after_dry, after_wet, 5.0, 0.8)))
    found = scaled(chain, depth_factor=depth_factor, wet_day_factor=wet_day_factor)
    for chance in (found.wet_after_dry, found.wet_after_wet):
        assert (chance >= -1e-12).all()
        assert (chance <= 1.0 + 1e-12).all()
    wanted = np.minimum(chain.wet_share * wet_day_factor, 1.0)
    assert np.allclose(found.wet_share[wanted < 1.0], wanted[wanted < 1.0], atol=1e-9)
