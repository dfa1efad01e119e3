"""What holds for any roof and any rain: nothing made or lost, more rain never less water.

More rain on any set of days never brings less water on any day: it only shortens dry runs, so a
roof is dry and a diverter empty on fewer mornings. This holds while melt and gutter spill stay.
"""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from eavewell.catchment.enhealth import runoff_l_enhealth
from eavewell.catchment.runoff import roof_water, runoff_mm
from eavewell.site.first_flush import FirstFlush
from eavewell.site.roof import Plane, Roof, Snow
from eavewell.site.screen import Screen
from eavewell.tables import table

depths = st.one_of(st.just(0.0), st.floats(0.0, 150.0))
rains = st.lists(depths, min_size=1, max_size=40)
bands = st.sampled_from(["low", "value", "high"])


@st.composite
def roofs(draw):
    flush = st.builds(
        FirstFlush,
        volume_l=st.floats(0.0, 500.0),
        reset_dry_days=st.integers(0, 6),
        bleed_l_h=st.one_of(st.just(0.0), st.floats(0.0, 60.0)),
    )
    return Roof(
        "any",
        (Plane("all", draw(st.floats(5.0, 600.0))),),
        draw(st.sampled_from(sorted(table("runoff")))),
        first_flush=draw(st.none() | flush),
        screens=tuple(Screen("s", kept) for kept in draw(st.lists(st.floats(0, 1), max_size=2))),
        snow=draw(st.none() | st.just(Snow(0.5, 0.0, 0.8, frozenset({1})))),
    )


def months(count):
    return np.arange(count) // 10 % 12 + 1


@settings(max_examples=80, deadline=None)
@given(roof=roofs(), rain=rains, melt_share=st.floats(0, 1), band=bands, spill=st.floats(0, 20))
def test_nothing_is_made_or_lost(roof, rain, melt_share, band, spill):
    rain_mm = np.array(rain)
    water = roof_water(
        roof,
        rain_mm,
        melt_mm=rain_mm * melt_share,
        months=months(rain_mm.size),
        band=band,
        gutter_spill_mm=np.full(rain_mm.size, spill),
    )
    assert water.balance_error_mm == pytest.approx(0.0, abs=1e-9)
    assert (water.runoff_mm >= 0.0).all()
    assert (water.runoff_mm <= rain_mm).all()
    for lost in (water.initial_mm, water.splash_mm, water.screen_mm, water.first_flush_mm):
        assert (lost >= 0.0).all()


@settings(max_examples=80, deadline=None)
@given(roof=roofs(), rain=rains, band=bands, data=st.data())
def test_more_rain_never_brings_less_water_on_any_day(roof, rain, band, data):
    more = data.draw(st.lists(depths, min_size=len(rain), max_size=len(rain)))
    less_mm, more_mm = np.array(rain), np.array(rain) + np.array(more)
    month = months(less_mm.size)
    less, wetter = (runoff_mm(roof, mm, months=month, band=band) for mm in (less_mm, more_mm))
    assert (wetter >= less - 1e-9).all()


@settings(max_examples=60, deadline=None)
@given(roof=roofs(), rain=rains)
def test_the_bands_stand_in_order(roof, rain):
    low, value, high = (
        runoff_mm(roof, np.array(rain), months=months(len(rain)), band=band).sum()
        for band in ("low", "value", "high")
    )
    assert low - 1e-9 <= value <= high + 1e-9


@settings(max_examples=60, deadline=None)
@given(rain=rains, volume_l=st.floats(0.0, 500.0), reset=st.integers(0, 6))
def test_a_first_flush_loses_at_most_its_volume_between_two_emptyings(rain, volume_l, reset):
    flush = FirstFlush(volume_l=volume_l, reset_dry_days=reset)
    roof = Roof("any", (Plane("all", 100.0),), "metal", first_flush=flush)
    water = roof_water(roof, np.array(rain))
    arrives = (water.first_flush_mm + water.runoff_mm) > 0.0
    held, dry = 0.0, reset
    for lost_mm, wet in zip(water.first_flush_mm, arrives, strict=True):
        if wet and dry >= reset:
            held = 0.0
        held, dry = held + lost_mm, 0 if wet else dry + 1
        assert held <= volume_l / 100.0 + 1e-9


@given(rain=st.lists(st.floats(0.0, 500.0), min_size=1, max_size=12))
def test_the_monthly_formula_stays_between_nothing_and_the_rain(rain):
    litres = runoff_l_enhealth(rain, 150.0, share=0.8, loss_mm=2.0)
    assert (litres >= 0.0).all()
    assert (litres <= np.array(rain) * 150.0).all()
