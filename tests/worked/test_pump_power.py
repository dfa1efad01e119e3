"""Pump power, engineeringtoolbox d_753; affinity laws, DOE-HDBK-1012 v3 HT-03 p. 50 (FOUND).

Energy per volume: franklininthefield.com 2011/04/26 (FOUND inputs).
"""

import pytest

from eavewell.hydraulics.pump_curve import at_speed, energy_kwh_m3, water_power_w, wire_to_water
from eavewell.site.pump import Pump
from eavewell.units import read

HORSEPOWER_W = 550.0 * 0.3048 * 4.4482216152605
L_S = 3.785411784 / 60.0
FT = 0.3048


@pytest.mark.parametrize(
    ("gpm", "feet", "hp"), [(20, 20, 0.101), (50, 50, 0.631), (100, 30, 0.758)]
)
def test_water_horsepower(gpm, feet, hp):
    """FOUND."""
    assert water_power_w(gpm * L_S, feet * FT) / HORSEPOWER_W == pytest.approx(hp, rel=5e-3)


def test_twice_the_speed():
    """FOUND: 400 to 800 gpm, 48 to 192 ft, 45 to 360 kW."""
    slow = Pump("a", "sump", ((0.0, 60 * FT), (400 * L_S, 48 * FT)), input_w=45e3)
    fast = at_speed(slow, 2.0)
    assert fast.curve[1] == pytest.approx((800 * L_S, 192 * FT))
    assert fast.input_w == pytest.approx(360e3)


def test_a_belt_from_1750_to_2000_rpm():
    """COMPUTED from FOUND inputs: 300 gpm, 160 ft, 20 hp."""
    fast = at_speed(
        Pump("a", "sump", ((0.0, 200 * FT), (300 * L_S, 160 * FT)), motor_w=20 * HORSEPOWER_W),
        2000 / 1750,
    )
    assert fast.curve[1] == pytest.approx((342.9 * L_S, 209.0 * FT), rel=1e-3)
    assert fast.motor_w / HORSEPOWER_W == pytest.approx(29.85, rel=1e-3)


def test_a_half_horsepower_submersible():
    """FOUND: 0.96 kW at 10 gpm, 6,240 gal for a dollar at ten cents a kWh: 1.60 kWh a 1,000 gal."""
    flow = read("10 gal/min", "flow")
    per_1000_gal = energy_kwh_m3(flow, 960.0) * 3.785411784
    assert per_1000_gal == pytest.approx(1.60, abs=0.005)
    assert per_1000_gal == pytest.approx(10.0 / 6.24, rel=2e-3)
    # COMPUTED at 100 ft.
    assert wire_to_water(flow, 100 * FT, input_w=960.0) == pytest.approx(0.196, abs=0.0015)
