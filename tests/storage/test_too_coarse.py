"""A small store on a daily step and within the day; site and rain are invented."""

from types import SimpleNamespace

import numpy as np
import pytest

from eavewell.findings.daily_step import daily_step_fits
from eavewell.site.lift import Lift
from eavewell.site.reserve import Reserve
from eavewell.storage.drawn import as_drawn
from eavewell.storage.too_coarse import too_coarse

DAYS, STEPS = 400, 24


def _within(depths_mm):
    return SimpleNamespace(
        rows=np.arange(0, DAYS, 5), steps_mm=np.tile(np.float32(depths_mm), (DAYS // 5, 1))
    )


@pytest.fixture
def both(making):
    def _both(usable_l, shape, want_l=100.0, rain_mm=12.0, **fields):
        runoff = np.zeros(DAYS)
        runoff[::5] = rain_mm
        site = making.site(tanks=(making.tank(usable_l),), uses=(making.use(want_l),), **fields)
        water = making.series(runoff, np.full(DAYS, want_l))
        drawn = as_drawn(site, water)
        return site, too_coarse(site, water, within=_within(shape), drawn=drawn)

    return _both


def _loop(usable_l, shape, want_l=100.0, rain_mm=12.0):
    """The same store step by step, from empty: supplied share."""
    held = supplied = 0.0
    for day in range(DAYS):
        for step in range(STEPS):
            fell = 10.0 * rain_mm * shape[step] / sum(shape) if day % 5 == 0 else 0.0
            held = min(held + fell, usable_l)
            give = min(held, want_l / STEPS)
            held, supplied = held - give, supplied + give
    return supplied / (DAYS * want_l)


BURST = [0.0] * 5 + [1.0] + [0.0] * 18
GENTLE = [1.0] * STEPS


@pytest.mark.parametrize("usable_l", [20.0, 60.0, 150.0, 1000.0])
@pytest.mark.parametrize("shape", [BURST, GENTLE])
def test_agrees_with_a_loop(both, usable_l, shape):
    _, (one,) = both(usable_l, shape)
    assert one.within_share == pytest.approx(_loop(usable_l, shape), abs=0.005)


def test_gentle_rain_through_a_barrel_gives_more_than_a_daily_step_says(both):
    """120 L fall evenly on a day that wants 100 L: all 100 are met with hardly a store."""
    site, (one,) = both(20.0, GENTLE)
    assert one.within_share > one.daily_share + 0.1
    (finding,) = daily_step_fits(site, [one])
    assert (finding.code, finding.level) == ("daily-step-too-coarse", "watch")
    assert "safe side" in finding.says


def test_a_large_store_is_the_same_on_both_steps(both):
    site, coarse = both(5000.0, BURST, want_l=20.0)
    assert list(daily_step_fits(site, coarse)) == []


def test_only_stores_that_stand_alone(both, making):
    lift = Lift("make-up", "mains", "tank")
    assert both(20.0, GENTLE, lifts=(lift,))[1] == ()
    held = making.use(100.0, reserve=Reserve(10.0, None, "float"))
    site = making.site(tanks=(making.tank(20.0),), uses=(held,))
    water = making.series(np.zeros(DAYS), np.full(DAYS, 100.0))
    assert too_coarse(site, water, within=_within(BURST), drawn=as_drawn(site, water)) == ()
