"""A meter read once a month: what it tells of the use, and not of a leak. All is invented."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from eavewell.logbook.leaks.leaks import leak_test_on
from eavewell.logbook.readings.daily import daily_log
from eavewell.logbook.reconciled.account import Expected
from eavewell.logbook.reconciled.reconcile import reconcile_on
from eavewell.site.entry import Reading
from eavewell.site.gauge import Gauge, Log
from eavewell.site.line import Line
from eavewell.site.pipe import Pipe
from eavewell.site.tank_shape import Box

ZONE = ZoneInfo("America/Chicago")
FIRST = datetime(2026, 1, 1, tzinfo=ZONE)
DAYS = 151
L_DAY = 200.0
AWAY = range(70, 85)
GAUGES = (
    Gauge("eye", "level", of="main", how="pressure sensor", noise=0.001),
    Gauge("house meter", "meter", of="house water", how="register", unit="L"),
)


def at(day, hour=0.0):
    return FIRST + timedelta(days=day, hours=hour)


@pytest.fixture
def site(making):
    """A tank of 10 m2 that nothing fills, and one use behind a meter."""
    tank = making.tank(name="main", shape=Box(5.0, 2.0, 6.0), outlet_m=0.0)
    use = making.use(each_l=L_DAY, draws_from=("main",))
    line = Line("house water", "main", Pipe(20.9, 10.0))
    log = Log(zone="America/Chicago", gauges=GAUGES)
    return making.site(
        tanks=(tank,), roofs=(making.roof(to="main"),), uses=(use,), lines=(line,), log=log
    )


@pytest.fixture
def log(site, keeping):
    """Hourly levels and the meter on the first of each month; nobody was there for two weeks."""
    used, read = [0.0], []
    for day in range(DAYS):
        used.append(used[-1] + (0.0 if day in AWAY else L_DAY))
    for hour in range(24 * DAYS):
        gone = np.interp(hour / 24, np.arange(DAYS + 1), used)
        read.append(Reading("eye", at(0, hour), 5.5 - gone / 1e4))
    for month in range(1, 6):
        first = datetime(2026, month, 1, 8, tzinfo=ZONE)
        day = (first - FIRST).total_seconds() / 86400.0
        said = float(np.interp(day, np.arange(DAYS + 1), used))
        read.append(Reading("house meter", first, 1000.0 + said))
    read += [Reading("rain", at(day, 7.5), 0.0) for day in range(DAYS)]
    return daily_log(site, keeping.InMemory(read), until=at(DAYS))


@pytest.fixture
def expected():
    none = np.zeros(0)
    return Expected(np.full((12, 1), L_DAY), np.zeros(12), none.astype("datetime64[D]"), none)


def test_its_mean_counts_for_the_use(site, log, expected):
    (found,) = reconcile_on(site, log, expected=expected).used
    # from 2 January to 30 April, two weeks and a day of it nothing
    assert found.measured.days == 30 + 28 + 31 + 30
    assert found.measured.value == pytest.approx(L_DAY * (119 - len(AWAY)) / 119, 0.01)


def test_it_makes_no_leak_of_the_days_on_which_more_was_drawn_than_in_the_mean(site, log, expected):
    found = leak_test_on(site, log, expected=expected)
    assert not any(test.metered for test in found.tests)
    assert "leak" not in [one.code for one in found.findings]
    (says,) = [one.says for one in found.findings]
    assert "A meter read so seldom" in says
