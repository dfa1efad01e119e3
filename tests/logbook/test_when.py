"""Instants as somebody says them, by the clock of the site."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from eavewell.faults import BadLog
from eavewell.logbook.entries.when import instant_said

CHICAGO = ZoneInfo("America/Chicago")
# a Thursday
NOW = datetime(2027, 3, 4, 20, 5, tzinfo=CHICAGO)


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("", "2027-03-04 20:05"),
        ("now", "2027-03-04 20:05"),
        ("7:30", "2027-03-04 07:30"),
        ("7:30 pm", "2027-03-04 19:30"),
        ("12:15 am", "2027-03-04 00:15"),
        ("12 pm", "2027-03-04 12:00"),
        ("7.30", "2027-03-04 07:30"),
        ("yesterday 18:00", "2027-03-03 18:00"),
        ("today", "2027-03-04 07:00"),
        ("Thursday 6:00", "2027-03-04 06:00"),
        ("fri 6:00", "2027-02-26 06:00"),
        ("2027-03-01 7:30", "2027-03-01 07:30"),
        ("2027-03-01T07:30", "2027-03-01 07:30"),
        ("2027-03-01", "2027-03-01 07:00"),
    ],
)
def test_what_is_said_is_meant_by_the_sites_clock(said, meant):
    found = instant_said(said, now=NOW.astimezone(UTC), zone=CHICAGO, hour=7.0)
    assert found == datetime.fromisoformat(meant).replace(tzinfo=CHICAGO)
    assert found.tzinfo == CHICAGO


def test_an_offset_is_kept():
    found = instant_said("2027-03-01T07:30:00+01:00", now=NOW, zone=CHICAGO)
    assert found == datetime(2027, 3, 1, 6, 30, tzinfo=UTC)


def test_an_hour_that_the_clock_leaves_out_is_said_and_of_two_the_first_is_taken():
    with pytest.raises(BadLog, match="2027-03-14 02:30 was on no clock"):
        instant_said("2027-03-14 2:30", now=NOW, zone=CHICAGO)
    # central daylight time, five hours behind: the first of the two
    found = instant_said("2027-11-07 1:30", now=NOW, zone=CHICAGO)
    assert found.astimezone(UTC) == datetime(2027, 11, 7, 6, 30, tzinfo=UTC)


def test_without_a_zone_the_clock_of_this_computer_is_meant(monkeypatch):
    import time

    monkeypatch.setenv("TZ", "Europe/Paris")
    time.tzset()
    try:
        found = instant_said("2027-07-01 8:00", now=NOW)
    finally:
        monkeypatch.undo()
        time.tzset()
    assert found == datetime(2027, 7, 1, 6, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    "said", ["soon", "25:00", "13 pm", "2027-02-30 7:30", "7:75", "2027-03-01T07:30:00+99:99"]
)
def test_what_is_no_time_is_a_sentence(said):
    with pytest.raises(BadLog, match="is no time: write it as"):
        instant_said(said, now=NOW, zone=CHICAGO)
