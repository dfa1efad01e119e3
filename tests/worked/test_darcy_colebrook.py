"""Colebrook and Swamee-Jain factors: package page of a friction library, sjFriction(60000, 0.0023).

FOUND: 0.027 for Swamee-Jain. The other factors are COMPUTED from the implicit equation. A
general-purpose fluids library is the second method for single pipes, within 1 %.
"""

import math

import fluids
import pytest

from eavewell.faults import OutOfRange
from eavewell.hydraulics.friction import (
    friction_factor_colebrook,
    friction_factor_swamee_jain,
    friction_m_darcy,
    friction_m_hazen_williams,
    viscosity_m2_s,
)


@pytest.mark.parametrize(
    ("reynolds", "roughness", "factor"),
    [(1e5, 1e-4, 0.018514), (1e5, 0.0, 0.017990), (1e6, 1e-4, 0.013441), (6e4, 0.0023, 0.026755)],
)
def test_colebrook(reynolds, roughness, factor):
    assert friction_factor_colebrook(reynolds, roughness) == pytest.approx(factor, abs=1e-6)


def test_swamee_jain():
    assert friction_factor_swamee_jain(6e4, 0.0023) == pytest.approx(0.027, rel=0.02)
    assert friction_factor_swamee_jain(6e4, 0.0023) == pytest.approx(0.02703, abs=1e-5)


@pytest.mark.parametrize("reynolds", [1000.0, 5e3, 1e5, 1e7])
@pytest.mark.parametrize("roughness", [0.0, 1e-5, 1e-3, 0.03])
def test_against_a_general_library(reynolds, roughness):
    expected = fluids.friction_factor(Re=reynolds, eD=roughness)
    assert friction_factor_colebrook(reynolds, roughness) == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize("flow_l_s", [0.5, 1.0, 3.0])
@pytest.mark.parametrize("bore_mm", [20.0, 50.0, 100.0])
def test_head_of_a_pipe_against_a_general_library(flow_l_s, bore_mm):
    bore_m = bore_mm / 1000
    speed = flow_l_s / 1000 / (math.pi / 4 * bore_m**2)
    viscosity = 1.139e-6  # handbook value at 15 C, m2/s
    reynolds = speed * bore_m / viscosity
    factor = fluids.friction_factor(Re=reynolds, eD=0.0015 / bore_mm)
    expected = factor * 30 / bore_m * speed**2 / (2 * 9.80665)
    found = friction_m_darcy(flow_l_s, bore_mm=bore_mm, length_m=30, roughness_mm=0.0015)
    assert found == pytest.approx(expected, rel=0.01)
    # Hazen-Williams with C 150 lies near it for smooth pipe at ordinary speeds
    if 0.5 < speed < 3:
        hazen = friction_m_hazen_williams(flow_l_s, bore_mm=bore_mm, length_m=30, roughness_c=150)
        assert hazen == pytest.approx(found, rel=0.12)


@pytest.mark.parametrize(("celsius", "m2_s"), [(0, 1.787e-6), (10, 1.307e-6), (20, 1.004e-6)])
def test_viscosity_of_water_handbook_from_memory(celsius, m2_s):
    assert viscosity_m2_s(celsius) == pytest.approx(m2_s, rel=0.02)


def test_no_factor_between_laminar_and_turbulent_or_for_absurd_walls():
    for reynolds, roughness in ((3000, 0), (0, 0), (1e5, 0.2)):
        with pytest.raises(OutOfRange):
            friction_factor_colebrook(reynolds, roughness)
    with pytest.raises(OutOfRange):
        friction_factor_swamee_jain(1000, 1e-4)
    with pytest.raises(OutOfRange):
        viscosity_m2_s(90)
