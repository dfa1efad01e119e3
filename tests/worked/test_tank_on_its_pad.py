"""A published farm example of a tank's pad load (8.0 lb/gal, wrong) and IBC 2012 table 1806.2.

FOUND: 5,050 gal and 700 lb on 10 ft 9 in, printed 41,110 lb and 453 psf with 8.0 lb/gal. COMPUTED:
right are 42,817 lb and 471.7 psf with 8.34. FOUND: presumptive bearing values in psf.
"""

import math

import pytest

from eavewell.site.base import Base
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import UprightCylinder
from eavewell.structure.bearing import bearing, pressure_kpa
from eavewell.tables import table

GAL, LB, FOOT = 3.785411784, 0.45359237, 0.3048
PSF = 0.04788026


def test_the_pad_load_with_the_right_weight_of_water():
    diameter = 10.75 * FOOT
    height = 5050 * GAL / 1000 / (math.pi / 4 * diameter**2)
    tank = Tank(
        "t",
        shape=UprightCylinder(diameter, height),
        empty_kg=700 * LB,
        stands_on=Base("ground", soil="clay"),
    )
    found = bearing(tank)
    assert found.full_kg / LB == pytest.approx(42817, rel=0.001)
    assert found.pressure_kpa / PSF == pytest.approx(471.7, rel=0.002)
    # eight pounds a gallon would give 453
    assert found.pressure_kpa / PSF > 470


def test_eight_feet_of_water():
    # 62.4 lb/ft3 x 8 ft = 499 psf
    assert pressure_kpa(62.4 * 8 * LB, FOOT**2) / PSF == pytest.approx(499.2, rel=1e-4)


@pytest.mark.parametrize(
    ("soil", "psf"),
    [
        ("bedrock", 12000),
        ("sedimentary rock", 4000),
        ("sandy gravel", 3000),
        ("sand", 2000),
        ("clay", 1500),
        ("mud", 0),
        ("unprepared fill", 0),
    ],
)
def test_presumptive_bearing(soil, psf):
    assert table("bearing")[soil].value / PSF == pytest.approx(psf, abs=1.0)


def test_a_full_barrel():
    # 55 gal x 8.345 lb = 459 lb
    barrel = Tank("b", stated_l=55 * GAL, stands_on=Base("blocks"))
    assert bearing(barrel).full_kg / LB == pytest.approx(459, abs=0.5)
