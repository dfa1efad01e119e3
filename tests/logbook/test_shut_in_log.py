"""The overnight test by the log; tank and readings are invented, every figure worked by hand."""

import math
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from eavewell.faults import BadLog
from eavewell.logbook.leaks.shut_in_log import Span, shut_in_log
from eavewell.logbook.leaks.shut_test import BadShutTest
from eavewell.site.entry import Reading
from eavewell.site.gauge import Gauge, Log
from eavewell.site.tank_shape import UprightCylinder

L_PER_MM = math.pi * 1.0**2  # of a tank 2 m wide
SHUT = datetime(2027, 3, 4, 20, tzinfo=UTC)
NIGHT = Span(SHUT, SHUT + timedelta(hours=12))
# 2 mm of error in one reading; it looks down from 3 m above the floor
EYE = Gauge("eye", "level", of="main", how="ultrasonic", zero_m=3.0, noise=0.002, blind_m=0.2)


def site_of(making, *gauges):
    main = making.tank(7_000.0, name="main", shape=UprightCylinder(2.0, 2.5))
    return making.site(tanks=(main,), uses=(), log=Log(gauges=gauges))


def every_quarter(keeping, fall_mm_h, *, gauge="eye"):
    """Distances each quarter of an hour, from an hour before it was shut to an hour after."""
    hours = np.arange(-1.0, 13.25, 0.25)
    at = np.datetime64(SHUT.replace(tzinfo=None), "ms") + (hours * 3.6e6).astype("timedelta64[ms]")
    return keeping.InMemory().add_arrays(gauge, at, 1.5 + fall_mm_h * hours / 1000.0)


def test_a_sensor_tells_the_fall_between_the_means_of_both_ends(making, keeping):
    found = shut_in_log(site_of(making, EYE), "main", kept=every_quarter(keeping, 1.0), span=NIGHT)
    # five readings from 20:00 to 21:00 and five from 7:00 to 8:00: 11 hours between their means
    assert found.test.hours == pytest.approx(11.0)
    assert found.test.fall_m == pytest.approx(0.011)
    assert found.test.l_day == pytest.approx(24 * L_PER_MM)
    # 4.945 errors of a difference of two means of five
    least_mm = 4.945 * 2.0 * math.sqrt(2.0 / 5.0)
    assert found.test.limit_l_day == pytest.approx(least_mm * L_PER_MM * 24 / 11)
    assert found.test.leaks
    assert found.says[0] == "By 5 and 5 readings of 'eye'."
    assert "Shut for 11 hours it fell by" in found.says[1]


def test_a_stick_read_once_at_each_end(making, keeping):
    kept = keeping.InMemory(
        [
            Reading("main", SHUT + timedelta(minutes=10), 1.2),
            Reading("main", SHUT + timedelta(hours=5), 0.3),
            Reading("main", SHUT + timedelta(hours=12), 1.2),
        ]
    )
    found = shut_in_log(site_of(making), "main", kept=kept, span=NIGHT)
    assert found.test.fall_m == 0.0 and not found.test.leaks
    assert found.test.hours == pytest.approx(12 - 1 / 6)


def test_air_that_is_not_known_makes_the_sensor_see_less(making, keeping):
    kept = every_quarter(keeping, 1.0)
    sound = Gauge(
        *("eye", "level"), of="main", how="ultrasonic", zero_m=3.0, noise=0.002, reckons_at_c=20.0
    )
    plain = shut_in_log(site_of(making, EYE), "main", kept=kept, span=NIGHT).test
    blurred = shut_in_log(site_of(making, sound), "main", kept=kept, span=NIGHT).test
    assert plain.leaks and not blurred.leaks
    assert blurred.limit_l_day > 3.0 * plain.limit_l_day


def test_a_night_that_cooled_is_no_leak_where_the_air_is_measured(making, keeping):
    # sound over 1.5 m at 25 C in the evening and at 10 C in the morning, reckoned at 20 C
    told = [1.5 * math.sqrt(293.15 / (273.15 + air)) for air in (25.0, 10.0)]
    air = Gauge("shed air", "temperature")
    sound = Gauge(
        *("eye", "level"),
        of="main",
        how="ultrasonic",
        zero_m=3.0,
        noise=0.002,
        reckons_at_c=20.0,
        air_gauge="shed air",
    )
    ends = (NIGHT.began, NIGHT.ended)
    kept = keeping.InMemory(
        [Reading("eye", at, one) for at, one in zip(ends, told, strict=True)]
        + [Reading("shed air", at, one) for at, one in zip(ends, (25.0, 10.0), strict=True)]
    )
    found = shut_in_log(site_of(making, sound, air), "main", kept=kept, span=NIGHT).test
    assert found.fall_m == pytest.approx(0.0, abs=1e-9)
    assert not found.leaks


def test_what_tells_nothing_is_a_sentence(making, keeping):
    site, kept = site_of(making, EYE), every_quarter(keeping, 0.0)
    with pytest.raises(BadShutTest, match="opened before it was shut"):
        shut_in_log(site, "main", kept=kept, span=Span(NIGHT.ended, NIGHT.began))
    later = Span(SHUT + timedelta(days=1), SHUT + timedelta(days=2))
    with pytest.raises(BadShutTest, match="within 60 minutes of both ends"):
        shut_in_log(site, "main", kept=kept, span=later)
    with pytest.raises(BadLog, match="There is no"):
        shut_in_log(site, "mian", kept=kept, span=NIGHT)
    near = keeping.InMemory([Reading("eye", at, 0.2) for at in (NIGHT.began, NIGHT.ended)])
    with pytest.raises(BadLog, match="cannot see the water"):
        shut_in_log(site, "main", kept=near, span=NIGHT)
