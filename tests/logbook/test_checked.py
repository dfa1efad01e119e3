"""The log against its site file, and its leaks: from a real log file to the page and the JSON."""

import shutil
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import jsonschema
import numpy as np
import pytest

from eavewell.answers.schema import schema
from eavewell.faults import BadLog
from eavewell.files.record import beside_of, record_of
from eavewell.files.site.reader import read_site
from eavewell.logbook.checked import leaks_answered, reconciled_answered
from eavewell.logbook.kept import ManyReadings
from eavewell.logbook.store import open_log
from eavewell.report.blocks import Marked, Rows
from eavewell.report.leaks import leaks_page
from eavewell.report.reconciled import reconciled_page

NOW = datetime(2001, 12, 1, tzinfo=UTC)


@pytest.fixture(scope="module")
def site(simulated, tmp_path_factory):
    """The whole house with gauges, in a folder of its own."""
    folder = tmp_path_factory.mktemp("site")
    shutil.copy(simulated.EXAMPLE, folder / "site.toml")
    plain = read_site(folder / "site.toml")
    return replace(plain, log=replace(simulated.whole_house().log, readings_at=7.0))


@pytest.fixture(scope="module")
def logged(simulated, keeping, site):
    """Eleven months by hand, with a leak of 80 L/day in the last and a roof that sheds less."""
    days = simulated.weather(0.9, seed=6)
    rain = days.rain_mm.copy()
    rain[-30:] = 0.0
    days = simulated.days_of(rain)
    truth = simulated.Truth(sheds=0.8, leak_l_day=80.0, leak_from=days.count - 30)
    made = simulated.simulate(site, days, truth=truth, noise=simulated.Noise(stick_m=0.005))
    kept = simulated.read_by_hand(made, keeping)
    with open_log(site) as store:
        for gauge, (at, value) in kept.arrays.items():
            store.add([ManyReadings(gauge, at, value, zone=site.log.zone)])
        store.add(kept.listed)
    last = days.dates[-1].item()
    now = datetime(last.year, last.month, last.day, 20, tzinfo=UTC)
    return {"site": site, "record": record_of(site), "beside": beside_of(site), "now": now}


def answered(of, logged, **other):
    asked = logged | other
    return of(asked["site"], asked["record"], beside=asked["beside"], now=asked["now"])


def test_the_log_against_the_site_file(logged):
    answer = answered(reconciled_answered, logged)
    jsonschema.validate(answer, schema("reconciled"))
    (group,) = answer["groups"]
    (catch,) = group["catch"]
    assert catch["value"] == pytest.approx(0.8, rel=0.05)
    assert {"log-roof-sheds"} <= {one["code"] for one in group["offers"]}
    address = group["offers"][0]["changes"][0]["address"]
    assert address == "roof/house/sheds"
    known = [one for one in group["days"] if one["observed_l"] is not None]
    assert len(known) > 300
    for system in ("us", "metric"):
        page = reconciled_page(answer, system=system)
        assert any(isinstance(block, Rows) for block in page)
        assert any(isinstance(block, Marked) and "sheds" in block.words for block in page)


def test_the_leaks_of_the_log(logged):
    answer = answered(leaks_answered, logged)
    jsonschema.validate(answer, schema("leaks"))
    leak = next(one for one in answer["findings"] if one["code"] == "leak")
    assert leak["measured"] == pytest.approx(80.0, rel=0.35)
    assert answer["shut_test"][0]["limit_l_per_day"] > 0.0
    for system in ("us", "metric"):
        page = leaks_page(answer, system=system)
        assert any(isinstance(block, Marked) and block.mark == "fix" for block in page)
        assert sum(isinstance(block, Rows) for block in page) == 2


def test_a_site_without_a_level_says_what_is_missing(logged, tmp_path):
    site = replace(logged["site"], folder=str(tmp_path))
    with open_log(site):
        pass
    for of in (reconciled_answered, leaks_answered):
        try:
            answer = answered(of, logged, site=site)
        except BadLog as told:
            assert "stick or a sight tube" in str(told)
        else:
            assert any("stick or a sight tube" in one for one in answer["refused"])


def test_two_years_back_and_no_further(logged):
    """Asked three years on, nothing of the log counts any more."""
    later = logged["now"] + timedelta(days=1200)
    with pytest.raises(BadLog, match="stick or a sight tube"):
        answered(reconciled_answered, logged, now=later)


def test_days_are_the_places_own(logged):
    answer = answered(reconciled_answered, logged)
    assert np.datetime64(answer["until"]) <= np.datetime64(answer["day"])
