"""Rain read only when some fell, set on its day by the tanks' rise; every figure is invented."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from eavewell.logbook.readings.daily import daily_log
from eavewell.site.entry import Load, Reading
from eavewell.site.gauge import Gauge, Log
from eavewell.site.tank_shape import Box

ZONE = ZoneInfo("America/Chicago")
UNTIL = datetime(2026, 6, 1, tzinfo=ZONE)
# 100 m2 of roof over 10 m2 of tank: 20 mm of rain are at most 2000 L, a rise of 200 mm
SENSOR = Gauge("eye", "level", of="main", how="pressure sensor", noise=0.001)


def at(day, hour=7.5):
    return datetime(2026, 5, 1, tzinfo=ZONE) + timedelta(days=day - 1, hours=hour)


@pytest.fixture
def site(making):
    """One roof, one tank of 30 m3 and a sensor in it."""
    tank = making.tank(name="main", shape=Box(5.0, 2.0, 3.0), outlet_m=0.0)
    roof = making.roof(area_m2=100.0, to="main")
    log = Log(zone="America/Chicago", gauges=(SENSOR,))
    return making.site(tanks=(tank,), roofs=(roof,), uses=(), log=log)


def levels(*, start=1.5, rises=(), falls=0.03, days=20):
    """Read every hour: a fall of 30 mm in a day, and rises in one afternoon each."""
    rose = dict(rises)
    found, level = [], start
    for hour in range(24 * days):
        day = hour // 24 + 1
        if hour % 24 == 15:
            level += rose.get(day, 0.0)
        level -= falls / 24
        found.append(Reading("eye", at(day, hour % 24), level))
    return found


def rain(*read):
    return [Reading("rain", at(day), mm) for day, mm in read]


def of_days(site, kept):
    log = daily_log(site, kept, until=UNTIL)
    return dict(zip((day.day for day in log.dates.tolist()), log.rain_mm.tolist(), strict=True))


def test_rain_read_after_dry_days_fell_on_the_day_on_which_the_tank_rose(site, keeping):
    kept = keeping.InMemory([*levels(rises=[(9, 0.15)]), *rain((2, 0.0), (10, 18.0))])
    found = of_days(site, kept)
    assert found[9] == 18.0
    assert [found[day] for day in range(2, 9)] == [0.0] * 7


def test_a_drizzle_of_the_next_day_is_not_lost(site, keeping):
    read = rain((2, 0.0), (10, 18.0), (11, 0.4))
    found = of_days(site, keeping.InMemory([*levels(rises=[(9, 0.15)]), *read]))
    assert (found[9], found[10]) == (18.0, 0.4)


def test_a_load_is_no_rain(site, keeping):
    load = Load("main", ordered=None, came=at(5, 15.2), volume_l=1500.0)
    kept = keeping.InMemory(
        [*levels(rises=[(5, 0.15), (9, 0.15)]), *rain((2, 0.0), (10, 18.0)), load]
    )
    found = of_days(site, kept)
    assert (found[5], found[9]) == (0.0, 18.0)


def test_rain_of_two_storms_is_of_neither_but_the_other_days_were_dry(site, keeping):
    kept = keeping.InMemory(
        [*levels(rises=[(4, 0.10), (8, 0.12)]), *rain((2, 0.0), (10, 30.0), (11, 0.0))]
    )
    found = of_days(site, kept)
    assert np.isnan([found[4], found[8]]).all()
    assert [found[day] for day in (3, 5, 6, 7, 9)] == [0.0] * 5


def test_a_drizzle_that_no_tank_shows_counts_for_the_day_before_it_was_read(site, keeping):
    kept = keeping.InMemory([*levels(), *rain((2, 0.0), (10, 0.4))])
    found = of_days(site, kept)
    assert (found[8], found[9]) == (0.0, 0.4)


def test_a_full_tank_does_not_tell(site, keeping):
    kept = keeping.InMemory([*levels(start=3.0, falls=0.0), *rain((2, 0.0), (10, 18.0))])
    found = of_days(site, kept)
    assert np.isnan([found[day] for day in range(2, 10)]).all()


def test_rain_that_would_have_been_seen_and_was_not_stays_unknown(site, keeping):
    kept = keeping.InMemory([*levels(), *rain((2, 0.0), (10, 18.0))])
    assert np.isnan([of_days(site, kept)[day] for day in range(3, 10)]).all()
