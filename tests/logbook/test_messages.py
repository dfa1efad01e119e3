"""Messages of sensors: plain numbers and JSON, scaling, time, and everything that is no reading."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from eavewell.faults import BadLog
from eavewell.logbook.wire.messages import Message, fed, reading_in
from eavewell.site.gauge import Feed, Gauge, KnownLevel, Log

NOW = datetime(2027, 3, 4, 12, 0, tzinfo=UTC)


def gauge(feed=None, **fields):
    fields = {"name": "eye", "measures": "level", "unit": "mm", "how": "ultrasonic"} | fields
    return Gauge(feed=feed or Feed("t"), **fields)


def reading(payload, one, **message):
    return reading_in(Message("t", payload.encode(), NOW, **message), one, zone="UTC")


@pytest.mark.parametrize(
    ("payload", "feed", "value"),
    [
        ("1530", Feed("t"), 1.53),
        (" 1530.5\n", Feed("t"), 1.5305),
        ("1.53e3", Feed("t"), 1.53),
        ('{"tank": {"distance": 153}}', Feed("t", "tank.distance", 10.0), 1.53),
        ('{"tank": [{"d": "1480"}]}', Feed("t", "tank.0.d", 1.0, 50.0), 1.53),
        ("-20", Feed("t", "", -1.0), 0.02),
    ],
)
def test_a_figure_is_scaled_and_in_the_unit_of_its_gauge(payload, feed, value):
    found = reading(payload, gauge(feed))
    assert found.value == pytest.approx(value, rel=1e-12)
    assert (found.gauge, found.at, found.how) == ("eye", NOW, "ultrasonic")


def test_pulses_degrees_and_milliamperes():
    meter = gauge(name="m", measures="meter", unit="", per_pulse_l=5.0)
    assert reading("250", meter).value == 1250.0
    assert reading("50", gauge(measures="temperature", unit="F")).value == pytest.approx(10.0)
    known = (KnownLevel(4.0, 0.0), KnownLevel(20.0, 2.0))
    assert reading("11.5", gauge(unit="mA", known_levels=known)).value == 11.5


@pytest.mark.parametrize(
    ("time", "at"),
    [
        ('"2027-03-04T05:30:00-06:00"', datetime(2027, 3, 4, 11, 30, tzinfo=UTC)),
        ('"2027-03-04T11:30:00Z"', datetime(2027, 3, 4, 11, 30, tzinfo=UTC)),
        ("1804159800", datetime(2027, 3, 4, 11, 30, tzinfo=UTC)),
        ("1804159800000", datetime(2027, 3, 4, 11, 30, tzinfo=UTC)),
        ('"1804159800.5"', datetime(2027, 3, 4, 11, 30, 0, 500_000, tzinfo=UTC)),
    ],
)
def test_a_message_with_its_own_time_counts_for_that_kept_or_not(time, at):
    one = gauge(Feed("t", "d", time_at="when"))
    assert reading(f'{{"d": 1530, "when": {time}}}', one, kept=True).at == at


@pytest.mark.parametrize(
    ("payload", "feed", "says"),
    [
        ("", Feed("t"), "no number"),
        ("unavailable", Feed("t"), "no number"),
        ("nan", Feed("t"), "no number"),
        ("1e999", Feed("t"), "no number"),
        ("{", Feed("t", "a"), "no JSON"),
        ("[" * 100_000, Feed("t", "a"), "no JSON"),
        ('{"b": 1}', Feed("t", "a"), "nothing stands at a"),
        ('{"a": {"b": 1}}', Feed("t", "a"), "no number"),
        ('{"a": true}', Feed("t", "a"), "no number"),
        ('{"a": 1, "w": "soon"}', Feed("t", "a", time_at="w"), "'soon' is no time"),
        ('{"a": 1, "w": "2027-03-04T11:30"}', Feed("t", "a", time_at="w"), "is no time"),
        ('{"a": 1, "w": 12}', Feed("t", "a", time_at="w"), "is no time"),
        ('{"a": 1, "w": "2031-01-01T00:00Z"}', Feed("t", "a", time_at="w"), "is no time"),
        ('{"a": 1}', Feed("t", "a", time_at="w"), "nothing stands at w"),
    ],
)
def test_what_is_no_reading_is_a_sentence(payload, feed, says):
    with pytest.raises(BadLog, match=says) as refused:
        reading(payload, gauge(feed))
    assert str(refused.value).startswith("t: ")
    assert "was left out" in str(refused.value)


def test_outside_its_limits_and_kept_without_a_time_are_no_readings():
    with pytest.raises(BadLog, match="9,999 mm is no reading of eye, whose limit is 3,000 mm"):
        reading("9999", gauge(most=3.0))
    with pytest.raises(BadLog, match="is no reading"):
        reading("10", gauge(least=0.25))
    with pytest.raises(BadLog, match="nobody knows how old it is"):
        reading("1530", gauge(), kept=True)
    with pytest.raises(BadLog, match="is no text"):
        reading_in(Message("t", b"\xff\xfe\x00", NOW), gauge())


@given(st.binary(max_size=60), st.sampled_from(["", "a", "a.b", "0"]))
def test_whatever_comes_is_a_reading_or_a_sentence(payload, way):
    try:
        found = reading_in(Message("t", payload, NOW), gauge(Feed("t", way)))
    except BadLog:
        return
    assert abs(found.value) < float("inf")
    assert found.at <= NOW + timedelta(days=1)


def test_one_topic_may_feed_several_gauges(making):
    one, other = gauge(Feed("t", "a")), gauge(Feed("t", "b"), name="other")
    site = making.site(log=Log(gauges=(one, other, gauge(Feed("u"), name="third"))))
    assert {topic: len(some) for topic, some in fed(site).items()} == {"t": 2, "u": 1}
