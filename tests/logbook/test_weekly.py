"""A log whose stick is read once a week, as our upkeep list asks; rain and site are invented."""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from eavewell.logbook.leaks.leak_test import watch
from eavewell.logbook.readings.daily import daily_log
from eavewell.logbook.reconciled.account import account_of
from eavewell.logbook.reconciled.reconcile import reconcile_on

SITES, SHEDS = 12, 0.8


@pytest.fixture
def weekly(simulated, keeping):
    def build(seed, **truth):
        site = simulated.whole_house()
        site = replace(site, log=replace(site.log, readings_at=7.0))
        days = simulated.weather(1, seed=seed)
        noise = simulated.Noise(stick_m=0.005)
        known = simulated.Truth(sheds=SHEDS, **truth)
        made = simulated.simulate(site, days, truth=known, noise=noise, seed=seed)
        kept = simulated.read_by_hand(made, keeping, seed=seed)
        for one in site.log.gauges:
            if one.measures != "rain":
                at, value = kept.arrays[one.name]
                kept.arrays[one.name] = (at[::7], value[::7])
        log = daily_log(site, kept, until=datetime(2002, 6, 1, tzinfo=UTC))
        return site, log, simulated.expected(site, days)

    return build


def test_weekly_readings_say_what_they_can_and_no_more(weekly, simulated):
    """Levels of a week with rain in it tell less of the roof; a range is stated, or nothing."""
    told = held = alarms = 0
    for seed in range(SITES):
        site, log, expected = weekly(seed)
        assert np.isfinite(log.held_l[1:-8, 0]).mean() > 0.9
        catch = reconcile_on(site, log, expected=expected).catch
        told += catch is not None
        held += catch is not None and catch.low <= SHEDS <= catch.high
        alarms += watch(account_of(site, log, expected=expected)).alarms
    simulated.count("stick and meter once a week: catch inside its range", f"{held} of {told} told")
    simulated.count("stick and meter once a week: alarms a site-year", f"{alarms / SITES:.2f}")
    assert told >= SITES // 2
    assert held >= told - 1
    assert alarms < SITES
