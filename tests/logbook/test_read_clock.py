"""Local times of a file through the nights in which clocks are moved; figures are invented."""

from dataclasses import replace
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from eavewell.logbook.taken.file import read_file
from eavewell.site.gauge import Gauge, Log
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import Box

ZONE = "America/Chicago"
MAIN = Tank("main", shape=Box(2.0, 2.0, 3.0), outlet_m=0.1)
HOUSE = Gauge("house", "meter", how="register", unit="gal")


@pytest.fixture
def bring(making):
    def read(text, *gauges, zone=ZONE, readings_at=None, tanks=(MAIN,), **more):
        log = Log(zone=zone, gauges=gauges, readings_at=readings_at)
        site = making.site(tanks=tanks, log=log, roofs=(making.roof(100.0, to="main"),))
        data = text if isinstance(text, bytes) else text.encode()
        return read_file(data, site, name="brought.csv", **more)

    return read


def utc(many):
    return [str(at)[:16] for at in many.at_utc]


def only(brought):
    assert brought.faults == ()
    (many,) = brought.readings
    return many


# the night of 1 November 2026: 2:00 of summer time is 1:00 of winter time, 7:00 universal


def autumn(minutes, *, back=False):
    """Readings every so many minutes by a clock that is moved, from midnight to three."""
    start = datetime(2026, 11, 1, 5, tzinfo=UTC).timestamp()
    stamps = [start + 60 * minutes * k for k in range(240 // minutes)]
    local = [datetime.fromtimestamp(at, ZoneInfo(ZONE)) for at in stamps]
    rows = [f"{at:%Y-%m-%d %H:%M},{1000 + k}\n" for k, at in enumerate(local)]
    expected = [f"{datetime.fromtimestamp(at, UTC):%Y-%m-%dT%H:%M}" for at in stamps]
    return "when,reading\n" + "".join(rows[::-1] if back else rows), expected


@pytest.mark.parametrize("minutes", [5, 15, 20, 60])
@pytest.mark.parametrize("back", [False, True])
def test_an_hour_that_comes_twice_is_told_by_the_order_of_the_rows(bring, minutes, back):
    text, expected = autumn(minutes, back=back)
    brought = bring(text, HOUSE, gauge="house")
    assert utc(only(brought)) == expected
    assert brought.questions == ()


def test_each_gauge_has_its_own_pass_through_the_hour_that_comes_twice(bring):
    text, expected = autumn(15)
    rows = text.splitlines()[1:]
    # first all rows of one gauge, then all of the other
    long = "gauge,when,value\n" + "".join(f"{g},{row}\n" for g in ("house", "yard") for row in rows)
    brought = bring(long, HOUSE, replace(HOUSE, name="yard"))
    assert [utc(many) for many in brought.readings] == [expected, expected]


def test_an_hour_that_comes_twice_and_was_read_once_is_asked(bring):
    text = "when,reading\n2026-11-01 00:30,1\n2026-11-01 01:30,2\n2026-11-01 02:30,3\n"
    brought = bring(text, HOUSE, gauge="house")
    assert utc(only(brought))[1] == "2026-11-01T06:30"
    assert "1 reading stood in an hour that comes twice" in brought.questions[0].says


def test_an_hour_that_the_clock_skips_is_said(bring):
    text = "when,reading\n2026-03-08 01:30,1\n2026-03-08 02:30,2\n2026-03-08 03:45,3\n"
    brought = bring(text, HOUSE, gauge="house")
    assert utc(only(brought)) == ["2026-03-08T07:30", "2026-03-08T08:30", "2026-03-08T08:45"]
    assert any("an hour that the clock skips, first 2026-03-08 02:30" in n for n in brought.notes)


def test_without_a_zone_times_are_universal_and_it_is_said(bring):
    brought = bring("2026-05-01 07:00,100\n", HOUSE, gauge="house", zone="")
    assert utc(only(brought)) == ["2026-05-01T07:00"]
    assert any("No time zone is stated" in note for note in brought.notes)
