"""Tanks tested by themselves or together, and gauges that drift; all is simulated and invented."""

from dataclasses import replace

import numpy as np
import pytest

from eavewell.logbook.leaks.leak_test import is_metered
from eavewell.logbook.leaks.leaks import leak_test_on
from eavewell.logbook.reconciled.account import account_of
from eavewell.logbook.reconciled.groups import groups_of, only
from eavewell.logbook.reconciled.reconcile import reconcile_groups

QUIET = {"stick_m": 0.005, "missing": 0.0, "resets": False}
SITES = 100
GALLON = 3.785411784


@pytest.fixture
def tested(simulated):
    def build(site, days, *, noise=None, seed=1, kept=None, change=None, **truth):
        true = simulated.Truth(**truth)
        made = simulated.simulate(site, days, truth=true, noise=noise, seed=seed)
        log = change(made.log) if change else made.log
        return leak_test_on(site, log, expected=simulated.expected(site, days), kept=kept)

    return build


def test_a_tank_by_itself_is_tested_by_itself(simulated, making):
    """Two tanks with a use each: the leak is put to the one that leaks."""
    site = simulated.small(making)
    house, barn = site.uses[0], replace(site.uses[0], name="barn", draws_from=("second",))
    second = replace(site.tanks[0], name="second")
    gauges = (
        *site.log.gauges,
        replace(site.log.gauges[0], name="second stick", of="second"),
        replace(site.log.gauges[1], name="barn meter", uses=("barn",)),
    )
    roofs = (*site.roofs, replace(site.roofs[0], name="barn roof", drains_to="second"))
    site = replace(
        site,
        tanks=(*site.tanks, second),
        uses=(house, barn),
        roofs=roofs,
        log=replace(site.log, gauges=gauges),
    )
    days = simulated.days_of(np.r_[np.full(10, 15.0), np.zeros(40)])
    truth = simulated.Truth(leak_l_day=40.0, leak_of="second", use=0.3)
    made = simulated.simulate(site, days, truth=truth, noise=simulated.Noise(**QUIET))
    assert groups_of(site, made.log) == (("tank",), ("second",))
    assert only(made.log, ("second",)).held_l.shape == (50, 1)
    found = leak_test_on(site, made.log, expected=simulated.expected(site, days))
    assert [one.where for one in found.findings if one.code == "leak"] == ["tank 'second'"]
    first, other = reconcile_groups(site, made.log, expected=simulated.expected(site, days))
    assert (first.tanks, other.tanks) == (("tank",), ("second",))
    assert [one.meter for one in other.used] == []
    assert any("barn meter" in one for one in other.refused)


def test_tanks_that_a_lift_joins_are_tested_together(simulated):
    site = simulated.whole_house()
    made = simulated.simulate(site, simulated.weather(0.2))
    assert groups_of(site, made.log) == (("main", "header"),)
    account = account_of(site, made.log, expected=simulated.expected(site, simulated.weather(0.2)))
    assert is_metered(account)


# --- a gauge that drifts ------------------------------------------------------------------------


@pytest.mark.parametrize("drift_l_day", [5.0, -5.0])
def test_a_gauge_that_drifts_is_told_from_a_leak_by_the_full_tank(
    drift_l_day, tested, simulated, making
):
    site, told, leaks = simulated.small(making, area_m2=300.0), 0, 0
    for seed in range(20):
        made = tested(
            site,
            simulated.weather(1, seed=seed),
            noise=simulated.Noise(drift_l_day=drift_l_day),
            seed=seed,
        )
        codes = {one.code for one in made.findings}
        told += "level-gauge-drifts" in codes
        leaks += "leak" in codes
    simulated.count(
        f"gauge that drifts by {drift_l_day:+g} L/day told from full tanks", f"{told} of 20"
    )
    simulated.count(f"the same called a leak at the year's end: {drift_l_day:+g}", f"{leaks} of 20")
    assert told >= 18
    assert leaks <= 2


def test_a_gauge_that_does_not_drift_is_seldom_said_to(tested, simulated, making):
    site = simulated.small(making, area_m2=300.0)
    said = sum(
        "level-gauge-drifts" in {one.code for one in made.findings}
        for made in (tested(site, simulated.weather(1, seed=seed), seed=seed) for seed in range(40))
    )
    simulated.count("gauge that does not drift said to", f"{said} of 40 years")
    assert said <= 2


def test_where_less_was_drawn_than_expected_no_water_came(tested, simulated, making):
    """Fifty dry days while nobody is at home and no meter says so: the level stands still."""
    days = simulated.days_of(np.zeros(50))
    found = tested(
        simulated.small(making), days, noise=simulated.Noise(metered=False, **QUIET), use=0.0
    )
    assert not any(test.gains or test.leaks for test in found.tests)
