"""Evaporative coolers: Phoenix 1993-94, a desert water district, a home range (FOUND)."""

import pytest

from eavewell.tables import table

GAL = 3.785411784


@pytest.mark.parametrize(
    ("name", "gallons"), [("whole house, Phoenix", 66), ("no purge", 65), ("with purge", 160)]
)
def test_gallons_a_day(name, gallons):
    assert table("cooler")[name].value / GAL == pytest.approx(gallons, abs=0.01)


def test_home_unit_range():
    small = table("cooler")["small home unit"]
    assert (small.low / GAL, small.high / GAL) == pytest.approx((15.0, 66.0), abs=0.01)
