"""API 650 rule for unanchored tanks (seen in a copy), on an empty 2,500 gal plastic tank.

FOUND: unanchored if the moment is at most 2/3 (W D/2), contents left out; about 350 lb empty.
COMPUTED: D 7.9 ft, H 7.6 ft: 922 lb-ft hold, 5 psf makes 1,141, so it fails at about 4 psf.
From memory: 0.00256 V2, 90 mph is 20.7 psf.
"""

import pytest

from eavewell.faults import OutOfRange
from eavewell.structure.wind import tipping_wind_m_s, wind_pressure_pa

FOOT, LB, MPH, PSF = 0.3048, 0.45359237, 0.44704, 47.88026


def test_it_tips_at_about_four_pounds_a_square_foot():
    tips = tipping_wind_m_s(350 * LB, 7.6 * FOOT, width_m=7.9 * FOOT)
    # 2/3 x 350 x 7.9/2 over 7.9 x 7.6 x 7.6/2
    psf = (2 / 3 * 350 * 7.9 / 2) / (7.9 * 7.6 * 7.6 / 2)
    assert psf == pytest.approx(4.04, abs=0.01)
    assert wind_pressure_pa(tips) / PSF == pytest.approx(psf, rel=0.001)
    assert tips / MPH == pytest.approx((psf / 0.00256) ** 0.5, rel=0.002)


def test_ninety_miles_an_hour():
    assert wind_pressure_pa(90 * MPH) / PSF == pytest.approx(20.7, abs=0.1)


def test_heavier_holds_and_taller_tips():
    winds = [tipping_wind_m_s(kg, 2.0, width_m=2.0) for kg in (50, 100, 400)]
    assert winds == sorted(winds)
    heights = [tipping_wind_m_s(100, m, width_m=2.0) for m in (1.0, 2.0, 4.0)]
    assert heights == sorted(heights, reverse=True)
    with pytest.raises(OutOfRange):
        tipping_wind_m_s(0, 2.0, width_m=2.0)
    with pytest.raises(OutOfRange):
        wind_pressure_pa(500)
