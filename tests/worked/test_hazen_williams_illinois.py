"""Illinois Administrative Code 77-906, App. A, Exhibit I (seen in a copy): PVC schedule 40, C 150.

FOUND: flow in gal/min against feet of head per 100 ft; inside diameters from memory. Within
2 %, 4 inch 3.5 %. Then the developed length and exit head of a held-full line (COMPUTED by hand),
and the equivalent lengths that the same pages print.
"""

import pytest

from eavewell.hydraulics.friction import (
    developed_length_m,
    fittings_k,
    friction_m_hazen_williams,
    pipe_loss_m,
    speed_m_s,
)
from eavewell.site.pipe import Pipe

GAL_MIN = 3.785411784 / 60
FOOT = 0.3048


@pytest.mark.parametrize(
    ("inches", "gal_min", "feet_per_100", "tolerance"),
    [
        (1.049, 5, 1.52, 0.02),
        (1.049, 10, 5.50, 0.02),
        (1.380, 10, 1.46, 0.02),
        (1.380, 20, 5.23, 0.02),
        (1.610, 20, 2.46, 0.02),
        (1.610, 30, 5.22, 0.02),
        (2.067, 20, 0.74, 0.02),
        (4.026, 100, 0.55, 0.035),
    ],
)
def test_head_lost_in_a_hundred_feet(inches, gal_min, feet_per_100, tolerance):
    head_m = friction_m_hazen_williams(
        gal_min * GAL_MIN, bore_mm=inches * 25.4, length_m=100 * FOOT, roughness_c=150
    )
    assert head_m / FOOT == pytest.approx(feet_per_100, rel=tolerance)


def test_the_si_form_gives_the_same_head():
    # h = 10.67 L Q^1.852 / (C^1.852 d^4.87): 1 L/s, 26.6 mm, 30 m, C 150
    expected = 10.67 * 30 * 0.001**1.852 / (150**1.852 * 0.0266**4.87)
    found = friction_m_hazen_williams(1.0, bore_mm=26.6, length_m=30, roughness_c=150)
    assert found == pytest.approx(expected, rel=0.005)


def test_a_held_full_line_of_100_ft_with_five_bends():
    # 100 gal/min, 4.026 in: friction 0.907 ft over 160 ft, exit 0.099 ft; COMPUTED
    line = Pipe(4.026 * 25.4, 100 * FOOT, "pvc", (("90 elbow", 5), ("exit", 1)))
    assert developed_length_m(line) / FOOT == pytest.approx(160, rel=1e-6)
    assert fittings_k(line) == 1.0
    assert pipe_loss_m(100 * GAL_MIN, line) / FOOT == pytest.approx(1.006, rel=0.02)
    assert speed_m_s(100 * GAL_MIN, line.bore_mm) / FOOT == pytest.approx(2.52, abs=0.01)


def test_speed_by_the_inch_form():
    # v = 0.4085 Q / d2, ft/s from gal/min and inches
    assert speed_m_s(20 * GAL_MIN, 2 * 25.4) / FOOT == pytest.approx(0.4085 * 20 / 4, rel=1e-3)
