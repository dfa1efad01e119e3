"""What holds for any demand: none below zero, and no water made or lost in the root zone."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from eavewell.demand.daily import demand_l
from eavewell.demand.landscape import root_zone_fao56
from eavewell.site.use import Use
from eavewell.site.want import Animals, Cooler, People, Plants, Washing
from eavewell.weather.days import Days

rains = st.lists(st.one_of(st.just(0.0), st.floats(0.0, 120.0)), min_size=1, max_size=60)
shares = st.floats(0.05, 1.0)


@st.composite
def beds(draw):
    return Plants(
        "bed",
        draw(st.floats(0.0, 500.0)),
        draw(st.floats(0.0, 1.3)),
        draw(st.floats(0.05, 2.0)),
        draw(st.floats(40.0, 200.0)),
        draw(shares),
        draw(shares),
    )


def weather(rain_mm, et0_mm, air_c=None):
    dates = np.datetime64("2000-02-01") + np.arange(len(rain_mm))
    air = None if air_c is None else np.full(len(rain_mm), air_c)
    return Days(dates, np.array(rain_mm), np.full(len(rain_mm), et0_mm), air, air)


@settings(max_examples=60, deadline=None)
@given(bed=beds(), rain_mm=rains, et0_mm=st.floats(0.0, 12.0))
def test_root_zone(bed, rain_mm, et0_mm):
    days = weather(rain_mm, et0_mm)
    zone = root_zone_fao56(bed, days)
    holds_mm = bed.soil_water_mm_m * bed.root_m
    assert zone.balance_error_mm == pytest.approx(0.0, abs=1e-8)
    for series in (zone.irrigation_l, zone.used_mm, zone.drained_mm, zone.depletion_mm):
        assert (series >= 0.0).all()
    assert (zone.depletion_mm <= holds_mm + 1e-9).all()
    assert (zone.effective_rain_mm <= days.rain_mm).all()
    watered = zone.irrigation_mm > 0.0
    morning_mm = np.r_[0.0, zone.depletion_mm[:-1]] - zone.effective_rain_mm
    assert (morning_mm[watered] >= holds_mm * bed.depletion_share - 1e-9).all()
    # Never on a day whose rain covers its use.
    rain_covers = (zone.effective_rain_mm > 0.0) & (
        zone.effective_rain_mm >= bed.plant_factor * days.et0_mm
    )
    assert not (watered & rain_covers).any()


@settings(max_examples=40, deadline=None)
@given(
    bed=beds(),
    rain_mm=rains,
    air_c=st.one_of(st.none(), st.floats(-40.0, 50.0)),
    head=st.floats(0.0, 300.0),
    leak=st.floats(0.0, 0.5),
)
def test_demand_is_never_below_zero_and_a_leak_never_lowers_it(bed, rain_mm, air_c, head, leak):
    wants = (bed, Animals("beef cow", head), People(head, 50.0), Cooler(200.0, 27.0))
    wants = (*wants, Washing("yard", 100.0))
    days = weather(rain_mm, 5.0, air_c)
    tight, leaky = (
        demand_l(Use("all", "outdoor", wants, ("main",), leak_share=share), days)
        for share in (0.0, leak)
    )
    assert (tight >= 0.0).all()
    assert (leaky >= tight).all()


@settings(max_examples=40, deadline=None)
@given(
    species=st.sampled_from(["beef cow", "growing cattle", "bull", "nursing cow"]),
    air_c=st.floats(-30.0, 45.0),
    warmer=st.floats(0.0, 20.0),
)
def test_animals_never_drink_less_when_it_is_warmer(species, air_c, warmer):
    herd = Use("herd", "animals", (Animals(species, 10.0),), ("main",))
    cool, hot = (demand_l(herd, weather([0.0], 5.0, at))[0] for at in (air_c, air_c + warmer))
    assert hot >= cool - 1e-9
