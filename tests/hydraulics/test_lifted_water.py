"""The daily engine on a site whose sump is lifted within the day; site and rain are invented."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from eavewell.hydraulics.lifted_water import lift_water
from eavewell.storage.doubts import doubts
from eavewell.storage.drawn import as_drawn
from eavewell.storage.first_fill import first_fill
from eavewell.storage.series import series
from eavewell.storage.sizing import size_system
from eavewell.storage.with_captured import refused_l, shaped_by_depth

STEPS = 96


@pytest.fixture(scope="module")
def days(making):
    return making.days(making.wet_and_dry(12))


@pytest.fixture(scope="module")
def within(days):
    """Each wet day falls in a few quarters of an hour."""
    rows = np.flatnonzero(days.rain_mm)
    rng = np.random.default_rng(2)
    shape = rng.exponential(1.0, (rows.size, STEPS)) * (rng.random((rows.size, STEPS)) < 0.1)
    shape[:, 40] += 0.2
    share = shape / shape.sum(axis=1)[:, None]
    steps_mm = (share * days.rain_mm[rows, None]).astype(np.float32)
    return SimpleNamespace(rows=rows, steps_mm=steps_mm)


@pytest.fixture(scope="module")
def site(making, made_up_lift):
    return made_up_lift.barn(making, uses=(making.use(300.0),))


@pytest.fixture(scope="module")
def lifted(site, made_up_lift):
    return made_up_lift.lifted(site)


@pytest.fixture(scope="module")
def moved(site, days, within, lifted):
    return lift_water(site, series(site, days), within=within, lifted=lifted)


def test_more_is_caught_than_on_a_daily_step_and_less_than_all(site, days, moved):
    """On a daily step the pit of 1,100 L spills what is above it before its lift runs."""
    on_a_daily_step = as_drawn(site, series(site, days)).reliability
    within_the_day = as_drawn(moved.site, moved.water).reliability
    whole = replace(site, roofs=(replace(site.roofs[0], drains_to="tank"),), lifts=())
    caught_whole = as_drawn(whole, series(whole, days)).reliability
    assert (
        on_a_daily_step.supplied_share
        < within_the_day.supplied_share
        <= caught_whole.supplied_share
    )
    assert moved.captured[0].captured_share < 1.0


def test_every_roof_s_water_is_accounted_for(site, days, moved):
    before = series(site, days).runoff_mm.sum() * site.roofs[0].plan_area_m2
    found = as_drawn(moved.site, moved.water).reliability
    held = moved.captured[0].held_l[-1]
    assert found.inflow_l_year * days.count / 365.25 == pytest.approx(before - held)
    assert abs(found.balance_error_l) < 1e-9 * before


def test_a_full_tank_refuses_captured_water(moved):
    spilled = as_drawn(moved.site, moved.water).every_day.spilled_l[:, 0]
    refused = refused_l(moved.captured[0], spilled)
    assert refused.sum() == pytest.approx(spilled.sum())
    assert refused.sum() > 0.0


def test_sizing_and_doubts_run_on_it(days, moved):
    drawn, sizing = as_drawn(moved.site, moved.water), size_system(moved.site, moved.water)
    found = doubts(moved.site, days, drawn=drawn, sizing=sizing, water_of=moved.water_of)
    usual = drawn.reliability.supplied_share
    assert sizing.store == "tank"
    assert found.finish_low <= usual <= found.finish_high
    assert found.stress.outcome.supplied_share < usual
    assert first_fill(moved.site, moved.water).starts > 0


def test_the_record_s_days_come_out_as_they_went_in(days, moved):
    again = moved.water_of(moved.site, days)
    np.testing.assert_array_equal(again.runoff_mm, moved.water.runoff_mm)


def test_other_days_take_the_shape_of_the_nearest_depth(making, within, moved):
    other = making.days(np.array([0.0, 5.0, 60.0, 0.0]), first="1950-03-01")
    found = moved.water_of(moved.site, other)
    overtopped = found.runoff_mm[:, 1]
    assert overtopped[2] > 0.0
    shaped = shaped_by_depth(within, other.rain_mm)
    assert list(shaped.rows) == [1, 2]
    depths = within.steps_mm.sum(axis=1)
    assert shaped.steps_mm.sum(axis=1) == pytest.approx(
        [depths[np.argmin(abs(depths - 5.0))], depths.max()]
    )


def test_nothing_changes_where_nothing_is_reckoned(site, days, lifted, within):
    water = series(site, days)
    for found in (
        lift_water(site, water, within=None, lifted=lifted),
        lift_water(site, water, within=within, lifted=replace(lifted, lifts=())),
    ):
        assert (found.site, found.water, found.captured) == (site, water, ())
        assert found.water_of is series
