"""Daily sums against a plain loop over the readings of each day."""

from datetime import UTC, datetime
from itertools import pairwise
from statistics import fmean, median
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from eavewell.faults import BadLog
from eavewell.logbook.kept import Taken
from eavewell.logbook.readings.day_sums import summed
from eavewell.logbook.readings.midnights import midnights_utc, zone_of

ZONE = "America/Chicago"


def taken(minutes, values):
    start = np.datetime64("2026-03-06T05:00", "ms")  # two days before clocks go forward
    at = start + np.array(sorted(minutes), dtype="timedelta64[m]")
    return Taken(at, np.array(values[: at.size], dtype=float), np.arange(at.size))


def by_hand(readings):
    """Readings by their local day, as lists of (hours into the day, hours left, value)."""
    found = {}
    for instant, value in zip(readings.at_utc.astype(object), readings.value, strict=True):
        at = instant.replace(tzinfo=UTC).astimezone(ZoneInfo(ZONE))
        found.setdefault(at.date(), []).append((at, value))
    return found


@given(
    st.sets(st.integers(0, 6 * 1440), min_size=1, max_size=120).flatmap(
        lambda minutes: st.tuples(
            st.just(minutes),
            st.lists(st.integers(-40, 40).map(float), min_size=len(minutes), max_size=len(minutes)),
        )
    )
)
def test_sums_are_those_of_a_plain_loop(drawn):
    readings = taken(*drawn)
    found, days = summed(readings, ZONE), by_hand(readings)
    assert [day.item() for day in found.dates] == sorted(days)
    for k, day in enumerate(sorted(days)):
        values = [value for _, value in days[day]]
        assert found.count[k] == len(values)
        assert (found.first[k], found.last[k]) == (values[0], values[-1])
        assert (found.least[k], found.most[k]) == (min(values), max(values))
        assert found.total[k] == sum(values)
        assert found.falls[k] == sum(b < a for a, b in pairwise(values))
        midnight = datetime(day.year, day.month, day.day, tzinfo=ZoneInfo(ZONE)).timestamp()
        early = [(at, value) for at, value in days[day] if at.timestamp() - midnight < 3 * 3600]
        assert found.early_count[k] == len(early)
        if early:
            assert found.early[k] == median(value for _, value in early)
            mean = fmean(at.timestamp() for at, _ in early)
            assert found.early_at_utc[k].astype(float) / 1e3 == pytest.approx(mean, abs=0.01)
        else:
            assert np.isnan(found.early[k])
            assert np.isnat(found.early_at_utc[k])
        bends = [
            abs(a - 2 * b + c) for a, b, c in zip(values, values[1:], values[2:], strict=False)
        ]
        assert (median(bends) == found.roughness[k]) if bends else np.isnan(found.roughness[k])


def test_no_reading_has_no_day():
    assert summed(taken((), ()), ZONE).dates.size == 0


def test_days_of_23_and_25_hours():
    spring = np.diff(midnights_utc(datetime(2026, 3, 7).date(), 3, zone=ZONE))
    autumn = np.diff(midnights_utc(datetime(2026, 10, 31).date(), 3, zone=ZONE))
    assert [int(day / np.timedelta64(1, "h")) for day in spring] == [24, 23, 24]
    assert [int(day / np.timedelta64(1, "h")) for day in autumn] == [24, 25, 24]


def test_a_day_without_a_midnight_begins_as_the_clock_is_moved():
    # Havana goes forward at 0:00, 5:00 of universal time: the day begins at 1:00 by the clock
    begun = midnights_utc(datetime(2025, 3, 9).date(), 1, zone="America/Havana")
    assert str(begun[0])[:16] == "2025-03-09T05:00"
    assert int((begun[1] - begun[0]) / np.timedelta64(1, "h")) == 23


def test_a_zone_nobody_knows_is_refused_in_words():
    with pytest.raises(BadLog, match="'Quailwater/Middle' is not known"):
        zone_of("Quailwater/Middle")
