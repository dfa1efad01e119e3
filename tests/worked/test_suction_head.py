"""Suction head of pumps, two civil engineering handbook examples (seen in copies).

FOUND: 33.9 + 6.0 - 0.839 - 2.0 - 2.0 = 35.061 ft; lift at 7,000 ft and 50 F: 26.2 - 8.0 - 0.411
- 1 - 2 = 14.79 ft (FOUND inputs); air head 32.8 ft at 1,000 ft, 26.2 ft at 7,000 ft.
COMMON PRACTICE, no source: most lift of a jet pump.
"""

import pytest

from eavewell.hydraulics.suction import (
    air_head_m,
    npsh_available_m,
    practical_lift_m,
    vapour_head_m,
)

FOOT = 0.3048


@pytest.mark.parametrize(
    ("air", "over", "vapour", "lost", "expected"),
    [(33.9, 6.0, 0.839, 4.0, 35.061), (26.2, -8.0, 0.411, 3.0, 14.789)],
)
def test_examples(air, over, vapour, lost, expected):
    found = npsh_available_m(over, lost_m=lost, air_m=air, vapour_m=vapour)
    assert found == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(("feet", "head"), [(0, 33.9), (1000, 32.8), (7000, 26.2)])
def test_air_head(feet, head):
    assert air_head_m(feet * FOOT) / FOOT == pytest.approx(head, rel=0.005)


@pytest.mark.parametrize(("fahrenheit", "head"), [(50, 0.411), (70, 0.839)])
def test_vapour_head(fahrenheit, head):
    assert vapour_head_m((fahrenheit - 32) / 1.8) / FOOT == pytest.approx(head, rel=0.005)


def test_practical_lift_falls_with_height_and_stays_below_the_air():
    lifts = [practical_lift_m(height) for height in range(0, 4001, 500)]
    assert lifts == sorted(lifts, reverse=True)
    assert lifts[0] == pytest.approx(25 * FOOT)
    assert all(lift < air_head_m(500 * row) for row, lift in enumerate(lifts))
