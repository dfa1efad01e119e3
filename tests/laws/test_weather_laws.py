import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from eavewell.weather.evaporation import et0_mm_hargreaves_fao56
from eavewell.weather.snow import melt

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
    temperature, st.floats(0.0, 15.0), st.floats(0.0, 15.0), st.floats(-90, 90), st.integers(0, 365)
)
def test_evaporation_is_never_negative_and_rises_with_heat(tmin, spread, more, latitude, day):
    when = np.array(["2020-01-01"], dtype="M8[D]") + day
    cool, hot, wide = (
        et0_mm_hargreaves_fao56(tmin + spread + a, tmin + b, dates=when, latitude=latitude)[0]
        for a, b in ((0.0, 0.0), (more, more), (more, 0.0))
    )
    assert 0.0 <= cool <= hot + 1e-12
    assert cool <= wide + 1e-12
