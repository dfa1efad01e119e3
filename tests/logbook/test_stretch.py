"""A stretch of readings put right at once; what is read is invented."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from eavewell.faults import BadLog, BadQuantity
from eavewell.logbook.entries.stretch import Because, Stretch, in_another_unit, strike_stretch
from eavewell.logbook.store import open_log
from eavewell.site.entry import Reading
from eavewell.site.gauge import Gauge

ZONE = ZoneInfo("America/Chicago")
# the sensor's bare figures are taken as cm; on the second day it wrote metres
SENSOR = Gauge("eye", "level", of="tank", how="pressure sensor", unit="cm")
FIRST = datetime(2026, 5, 1, tzinfo=ZONE)
DAY = timedelta(days=1)
BECAUSE = Because("set to metres", "Kay", FIRST + 9 * DAY)


def reading(hour, value):
    return Reading("eye", FIRST + timedelta(hours=hour), value)


@pytest.fixture
def store(logged_site):
    with open_log(logged_site()) as opened:
        opened.add([reading(hour, 1.5) for hour in range(0, 24, 6)])
        opened.add([reading(hour, 0.015) for hour in range(24, 48, 6)])
        opened.add([reading(hour, 1.5) for hour in range(48, 72, 6)])
        yield opened


def second_day():
    return Stretch(SENSOR, FIRST + DAY, FIRST + 2 * DAY)


def test_a_stretch_is_read_in_another_unit_and_what_stood_is_kept(store):
    assert in_another_unit(store, second_day(), because=BECAUSE, unit="m") == 4
    taken = store.readings("eye")
    assert taken.value.tolist() == pytest.approx([1.5] * 12)
    (was,) = store.corrections("reading", int(taken.keys[5]))
    assert (was.why, was.was.value) == ("set to metres", 0.015)
    assert store.entry("reading", int(taken.keys[5])).said == "1.5 m"
    # the sums of the day follow
    assert store.day_sums("eye").least.tolist() == pytest.approx([1.5] * 3)


def test_a_stretch_is_struck_out(store):
    assert strike_stretch(store, second_day(), because=BECAUSE) == 4
    assert store.readings("eye").value.tolist() == [1.5] * 8


def test_all_of_it_or_nothing(store):
    with pytest.raises(BadLog):
        strike_stretch(store, second_day(), because=Because("", "", FIRST))
    with pytest.raises(BadQuantity):
        in_another_unit(store, second_day(), because=BECAUSE, unit="gal")
    assert store.readings("eye").value.tolist() == [1.5] * 4 + [0.015] * 4 + [1.5] * 4


@pytest.mark.parametrize(
    ("since", "until", "says"), [(2, 1, "ends before it begins"), (7, 8, "no reading in that time")]
)
def test_a_stretch_that_is_none(store, since, until, says):
    of = Stretch(SENSOR, FIRST + since * DAY, FIRST + until * DAY)
    with pytest.raises(BadLog, match=says):
        strike_stretch(store, of, because=BECAUSE)
