"""Common practice, no source: a register goes from its last figure to nothing and on.

Derived: every figure, by hand.
"""

import numpy as np
import pytest

from eavewell.logbook.kept import Taken
from eavewell.logbook.readings.meters import Way, metered, span_l
from eavewell.site.gauge import Gauge

GAL = 3.785411784


def daily(*litres):
    at = np.datetime64("2026-05-01T07:00", "ms") + np.arange(len(litres)) * np.timedelta64(1, "D")
    return Taken(at, np.array(litres, dtype=float), np.arange(len(litres)))


def test_a_register_of_six_wheels_in_gallons():
    # 999,950 to 999,999 is 49 gal, one more brings it to 000,000, and 31 more to 000,031: 81 gal
    gauge = Gauge("house", "meter", how="register", unit="gal", wraps_at=999_999)
    found = metered(daily(999_870 * GAL, 999_950 * GAL, 31 * GAL, 110 * GAL), gauge)
    assert found.litres / GAL == pytest.approx([80, 81, 79])
    assert found.ways.tolist() == [Way.PLAIN, Way.WRAPPED, Way.PLAIN]
    assert found.questions == ()


def test_a_pulse_counter_of_sixteen_bits():
    # 65,535 is followed by 0, so 65,500 to 0 are 36 pulses and 20 more are 56; at 10 L: 560 L
    gauge = Gauge("pump", "meter", how="pulse counter", per_pulse_l=10.0, wraps_at=65_535)
    assert span_l(gauge) == 655_360.0
    found = metered(daily(654_500.0, 655_000.0, 200.0, 700.0), gauge)
    assert found.litres == pytest.approx([500.0, 560.0, 500.0])


def test_a_register_with_a_decimal_wheel():
    # 9999.9 m3 is followed by 0000.0: the span is 10,000.0 m3
    gauge = Gauge("house", "meter", how="register", unit="m3", wraps_at=9999.9)
    assert span_l(gauge) == pytest.approx(10_000_000.0)
