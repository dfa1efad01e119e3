"""Christiansen CU example of a public package's reference page (15 cans); drip data sheets.

FOUND: CU 69.13955 %, mean 30.733; dripline flows of a data sheet. COMPUTED: DU 49.6 % on the same
cans, Christiansen's F (table values from memory), orifice emitters at low head.
"""

import math

import pytest

from eavewell.faults import OutOfRange
from eavewell.hydraulics.uniformity import (
    coefficient_of_uniformity_christiansen,
    distribution_uniformity_low_quarter,
    emission_uniformity,
    outlets_factor_christiansen,
)

CANS = [47, 42, 45, 24, 13, 26, 33, 34, 27, 30, 40, 44, 32, 12, 12]


def test_cu_and_du_of_the_same_cans_are_far_apart():
    assert 100 * coefficient_of_uniformity_christiansen(CANS) == pytest.approx(69.13955, abs=1e-4)
    # the four lowest of 15: 12, 12, 13, 24, mean 15.25 over 30.733
    assert 100 * distribution_uniformity_low_quarter(CANS) == pytest.approx(49.6, abs=0.05)


def test_emission_uniformity_by_hand():
    # flows 0.9, 1.0, 1.1, Cv 5 %, two emitters: (1 - 1.27 x 0.05 / 1.4142) x 0.9 = 0.8596
    found = emission_uniformity([0.9, 1.0, 1.1], variation=0.05, each=2)
    assert found == pytest.approx((1 - 1.27 * 0.05 / math.sqrt(2)) * 0.9)


@pytest.mark.parametrize(
    ("outlets", "factor"),
    [(2, 0.639), (3, 0.535), (4, 0.485), (5, 0.457), (10, 0.402), (20, 0.376), (50, 0.361)],
)
def test_friction_of_a_pipe_with_outlets(outlets, factor):
    assert outlets_factor_christiansen(outlets, exponent=1.85) == pytest.approx(factor, abs=0.001)
    # exact sum of (k/N)^m over the N lengths
    exact = sum((k / outlets) ** 1.852 for k in range(1, outlets + 1)) / outlets
    assert outlets_factor_christiansen(outlets) == pytest.approx(exact, rel=0.005)


def test_one_outlet_is_a_plain_pipe():
    assert outlets_factor_christiansen(1) == 1.0


def test_what_cannot_be_is_refused():
    for bad in ([], [-1, 2], [0, 0], [float("nan")]):
        with pytest.raises(OutOfRange):
            coefficient_of_uniformity_christiansen(bad)
    with pytest.raises(OutOfRange):
        emission_uniformity([1.0], variation=2.0)
    with pytest.raises(OutOfRange):
        outlets_factor_christiansen(0)
