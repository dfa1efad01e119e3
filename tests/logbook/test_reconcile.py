"""A log is reconciled with its site file: what was true in the simulation is found again.

The counts printed here stand in docs/logbook_proof.md. Common practice, no source.
"""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from eavewell.files.site.edit import changed_text
from eavewell.files.site.reader import site_of_text
from eavewell.logbook.readings.daily import daily_log
from eavewell.logbook.reconciled.account import TooLittleLogged, account_of, counting
from eavewell.logbook.reconciled.reconcile import reconcile_on
from eavewell.site.gauge import Gauge, Log
from eavewell.site.roof import Sheds

SITES = 40


@pytest.fixture
def found_in(simulated):
    def build(site, *, noise=None, seed=1, years=1.0, **truth):
        days = simulated.weather(years, seed=seed)
        true = simulated.Truth(**truth)
        made = simulated.simulate(site, days, truth=true, noise=noise, seed=seed)
        return reconcile_on(site, made.log, expected=simulated.expected(site, days))

    return build


@pytest.fixture
def many(found_in):
    def build(site, **known):
        return [found_in(site, seed=seed, **known) for seed in range(SITES)]

    return build


def within(estimates, true, share):
    return sum(abs(one.value - true) <= share * true for one in estimates)


def in_range(estimates, true):
    return sum(one.low <= true <= one.high for one in estimates)


CASES = {
    "small site, level sd 1 %": ({}, {"sheds": 0.8}),
    "small site, no meter": ({"metered": False}, {"sheds": 0.85}),
    "whole house, level sd 1 %": ({}, {"sheds": 0.8}),
    "whole house, leak, stick 5 mm": (
        {"stick_m": 0.005},
        {"sheds": 0.9, "flush": 1.4, "leak_l_day": 38.0},
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_what_the_roof_sheds_is_found_within_5_percent(case, making, simulated, many):
    noise, truth = CASES[case]
    site = simulated.small(making) if case.startswith("small") else simulated.whole_house()
    catches = [one.catch for one in many(site, noise=simulated.Noise(**noise), **truth)]
    near, covered = within(catches, truth["sheds"], 0.05), in_range(catches, truth["sheds"])
    mean = np.mean([one.value for one in catches])
    simulated.count(f"catch within 5 %: {case}", f"{near} of {SITES} years")
    simulated.count(f"catch inside its stated range: {case}", f"{covered} of {SITES} years")
    simulated.count(f"catch, mean over true: {case}", f"{mean / truth['sheds']:.3f}")
    assert near >= 0.95 * SITES
    assert covered >= 0.9 * SITES
    assert mean == pytest.approx(truth["sheds"], rel=0.02)


def test_twice_the_noise_widens_the_range_and_still_holds(making, simulated, many):
    site, truth = simulated.small(making), {"sheds": 0.8}
    quiet, loud = (
        [one.catch for one in many(site, **truth, noise=simulated.Noise(level_share=share))]
        for share in (0.01, 0.02)
    )
    ratio = np.mean([one.half for one in loud]) / np.mean([one.half for one in quiet])
    covered = in_range(loud, 0.8)
    simulated.count("catch at level sd 2 %: range over that at 1 %", f"{ratio:.2f}")
    simulated.count("catch at level sd 2 %: inside its stated range", f"{covered} of {SITES} years")
    assert 1.1 < ratio < 2.1
    assert covered >= 0.9 * SITES


def test_noise_that_the_log_understates_widens_the_range(making, simulated, many):
    site, truth = simulated.small(making), {"sheds": 0.8}
    noise = simulated.Noise(level_share=0.02, says_share=0.5)
    covered = in_range([one.catch for one in many(site, **truth, noise=noise)], 0.8)
    assert covered >= 0.9 * SITES


def test_first_flush_is_found_where_the_stick_is_fine_enough(simulated, many):
    truth = {"flush": 1.5}
    flushes = [
        one.flush
        for one in many(simulated.whole_house(), **truth, noise=simulated.Noise(stick_m=0.005))
    ]
    covered = in_range(flushes, 1.5)
    mean = np.mean([one.value for one in flushes])
    simulated.count("first flush 1.5 of its stated volume: mean found", f"{mean:.2f}")
    simulated.count("first flush inside its stated range", f"{covered} of {SITES} years")
    assert 1.25 < mean < 1.6  # the stated volume draws it back, as the method says
    assert covered >= 0.8 * SITES


def test_use_without_a_meter_is_found_from_the_level(making, simulated, many):
    truth = {"use": 1.2}
    uses = [
        one.unmetered
        for one in many(simulated.small(making), **truth, noise=simulated.Noise(metered=False))
    ]
    near = within(uses, 1.2, 0.1)
    simulated.count("use without a meter within 10 %", f"{near} of {SITES} years")
    assert near >= 0.95 * SITES
    assert in_range(uses, 1.2) >= 0.85 * SITES


def test_what_nothing_accounts_for_is_the_leak(making, simulated, many):
    site = simulated.whole_house()
    noise = simulated.Noise(stick_m=0.005)
    found = many(site, leak_l_day=38.0, noise=noise)
    covered = in_range([one.unknown for one in found], 38.0)
    simulated.count(
        "leak of 10 gal/day inside the stated range of the last season",
        f"{covered} of {SITES} years",
    )
    assert covered >= 0.85 * SITES


def test_a_leak_that_begins_late_does_not_spoil_the_roof(simulated, many):
    """It stands in its own season; what the roof sheds is found as before."""
    site, noise = simulated.whole_house(), simulated.Noise(stick_m=0.005)
    found = many(site, sheds=0.8, leak_l_day=90.0, leak_from=275, noise=noise)
    near = within([one.catch for one in found], 0.8, 0.05)
    seen = in_range([one.unknown for one in found], 90.0)
    simulated.count(
        "catch within 5 %: leak of 90 L/day from October on", f"{near} of {SITES} years"
    )
    simulated.count("that leak inside its stated range", f"{seen} of {SITES} years")
    assert near >= 0.95 * SITES
    assert seen >= 0.85 * SITES


def test_use_by_meter_takes_the_place_of_the_guess_after_three_months(making, simulated, found_in):
    site, truth = simulated.small(making), {"use": 1.25}
    young = found_in(site, **truth, years=0.2)
    assert not young.used
    assert any("90" in one and "meter" in one for one in young.refused)
    grown = found_in(site, **truth, years=0.5)
    (used,) = grown.used
    # 3 people of 50 L a day guessed; a quarter more is drawn
    assert used.each.value == pytest.approx(62.5, rel=0.06)
    offer = next(one for one in grown.offers if one.code == "log-use")
    assert offer.level == "watch"
    ((address, value),) = offer.changes
    assert address == ("use", "house", "each")
    assert value.endswith("gal/day")


def test_every_offer_can_be_put_into_the_site_file(simulated, found_in):
    text = simulated.EXAMPLE.read_text(encoding="utf-8")
    truth = {"sheds": 0.8, "flush": 1.6, "use": 1.3}
    made = found_in(simulated.whole_house(), **truth, noise=simulated.Noise(stick_m=0.005), seed=3)
    codes = {one.code for one in made.offers}
    assert {"log-roof-sheds", "log-first-flush", "log-use"} <= codes
    for offer in made.offers:
        for address, value in offer.changes:
            text = changed_text(text, address, value=value)
    after = site_of_text(text)
    assert after.roofs[0].sheds.share == pytest.approx(0.9 * 0.8, rel=0.05)
    assert after.roofs[0].first_flush.volume_l == pytest.approx(1.6 * 102.2, rel=0.2)
    assert after.use("household").wants[0].each_l_day == pytest.approx(106 * 1.3, rel=0.1)
    assert all(one.fix and one.says for one in made.offers)


def test_a_file_that_is_right_is_left_alone(making, simulated, many):
    site = simulated.small(making)
    roof = replace(site.roofs[0], sheds=Sheds(0.9, 0.85, 0.95))
    found = many(replace(site, roofs=(roof,)))
    changed = sum(bool(one.offers) for one in found)
    simulated.count("changes offered where the file is right", f"{changed} of {SITES} years")
    assert changed <= 0.15 * SITES


def test_more_water_than_rain_is_told_and_nothing_offered(making, simulated):
    site = simulated.small(making)
    guessed = replace(site, roofs=(replace(making.roof(100.0), first_flush=None),))
    days = simulated.weather(1)
    made = simulated.simulate(site, days)
    found = reconcile_on(guessed, made.log, expected=simulated.expected(guessed, days))
    offer = next(one for one in found.offers if one.where == "roof 'roof'")
    assert offer.code == "log-more-than-the-rain"
    assert not offer.changes


def test_a_load_that_nobody_wrote_down_is_set_aside(making, simulated):
    site, days = simulated.small(making), simulated.weather(1, seed=4)
    made = simulated.simulate(site, days)
    dry = next(k for k in range(100, 300) if not days.rain_mm[k - 2 : k + 3].any())
    held = made.log.held_l.copy()
    held[dry:] += 5000.0
    log = replace(made.log, held_l=held)
    found = reconcile_on(site, log, expected=simulated.expected(site, days))
    assert str(days.dates[dry - 1]) in found.set_aside
    assert found.catch.value == pytest.approx(1.0, abs=0.05)


def test_too_little_is_said_in_a_sentence(making, simulated):
    site, days = simulated.small(making), simulated.days_of(np.zeros(40))
    made = simulated.simulate(site, days)
    found = reconcile_on(site, made.log, expected=simulated.expected(site, days))
    assert found.catch is None
    assert any("10 are needed" in one for one in found.refused)
    assert not found.offers
    shapeless = replace(site, tanks=(making.tank(8000.0),))
    log = replace(made.log, held_l=np.full_like(made.log.held_l, np.nan))
    with pytest.raises(TooLittleLogged, match="shape of tank 'tank' is not known"):
        account_of(shapeless, log, expected=simulated.expected(site, days))


def test_observed_and_expected_agree_day_by_day_where_the_file_is_right(making, simulated):
    site, days = simulated.small(making), simulated.weather(1, seed=2)
    quiet = simulated.Noise(level_share=1e-6, missing=0.0, resets=False, meter=0.0, rain_cv=0.0)
    made = simulated.simulate(site, days, noise=quiet)
    found = reconcile_on(site, made.log, expected=simulated.expected(site, days))
    known = ~found.censored & np.isfinite(found.observed_l)
    assert known.sum() > 250
    np.testing.assert_allclose(found.observed_l[known], found.expected_l[known], atol=1.0)


def test_no_water_is_counted_twice_by_two_meters(making, simulated):
    site = simulated.small(making)
    gauges = (Gauge("whole", "meter"), Gauge("tap", "meter", uses=("house",)))
    site = replace(site, log=Log(gauges=gauges))
    assert counting(site, ("whole", "tap"), among=("house",)) == {"whole": frozenset({"house"})}


def test_a_gap_of_weeks_and_loads_that_nobody_wrote_down_do_no_harm(simulated, keeping):
    """Raw readings by hand, through the daily log; the trucks of the year are not in it."""
    site = simulated.whole_house()
    site = replace(site, log=replace(site.log, readings_at=7.0))
    near, left_out, sites = 0, 0, 10
    for seed in range(sites):
        days = simulated.weather(1, seed=seed)
        noise = simulated.Noise(stick_m=0.005)
        made = simulated.simulate(
            site, days, truth=simulated.Truth(sheds=0.8, leak_l_day=38.0), noise=noise, seed=seed
        )
        kept = simulated.read_by_hand(made, keeping, seed=seed, loads=False)
        for gauge, (at, value) in kept.arrays.items():
            kept.arrays[gauge] = (np.delete(at, slice(150, 185)), np.delete(value, slice(150, 185)))
        log = daily_log(site, kept, until=datetime(2002, 6, 1, tzinfo=UTC))
        found = reconcile_on(site, log, expected=simulated.expected(site, days))
        near += abs(found.catch.value - 0.8) <= 0.05 * 0.8
        left_out += len(found.set_aside)
    simulated.count(
        "by hand, a gap of 35 days, loads not written down: within 5 %", f"{near} of {sites}"
    )
    assert near >= 0.9 * sites
    assert left_out > 0
