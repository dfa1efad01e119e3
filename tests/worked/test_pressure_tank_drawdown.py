"""Trade pages on pressure tanks (The Driller 84709 and others, seen in copies).

FOUND: air at 28 psi, 30/50, 85 gal: 25.1 gal (0.295); 10 gpm for 2 min: 20 gal.
COMPUTED: 20/40 0.345, 40/60 0.258; air at cut-in 0.366, 0.309, 0.268. MEMORY: minutes by motor.
"""

import pytest

from eavewell.faults import OutOfRange
from eavewell.files.site.generic_pumps import generic_pump
from eavewell.hydraulics.pressure_tank import (
    acceptance,
    drawdown_needed_l,
    least_run_min,
    precharge_rule_m,
)
from eavewell.units import read

PSI = read("1 psi", "pressure")
GAL = 3.785411784


def share(precharge, cut_in, cut_out, air=14.7):
    return acceptance(
        precharge * PSI, cut_in_m=cut_in * PSI, cut_out_m=cut_out * PSI, air_m=air * PSI
    )


@pytest.mark.parametrize(
    ("precharge", "cut_in", "cut_out", "expected"),
    [
        (18, 20, 40, 0.345),
        (28, 30, 50, 0.295),
        (38, 40, 60, 0.258),
        (20, 20, 40, 0.366),
        (30, 30, 50, 0.309),
        (40, 40, 60, 0.268),
    ],
)
def test_acceptance(precharge, cut_in, cut_out, expected):
    assert share(precharge, cut_in, cut_out) == pytest.approx(expected, abs=5e-4)


def test_the_published_tank():
    assert 85 * share(28, 30, 50) == pytest.approx(25.1, abs=0.05)
    assert precharge_rule_m(30 * PSI) == pytest.approx(28 * PSI)


def test_run_time():
    assert drawdown_needed_l(10 * GAL / 60, 2.0) == pytest.approx(20 * GAL)
    assert least_run_min(generic_pump("1/2 hp jet")) == 1.0
    assert least_run_min(generic_pump("1 hp jet")) == 2.0


def test_air_above_cut_in_gives_less_and_above_cut_out_nothing():
    shares = [share(precharge, 30, 50) for precharge in (10, 20, 28, 30, 32, 40, 50, 55)]
    assert shares[:4] == sorted(shares[:4])
    assert shares[3:] == sorted(shares[3:], reverse=True)
    assert shares[-2:] == [0.0, 0.0]
    with pytest.raises(OutOfRange):
        share(28, 50, 30)


def test_thin_air_gives_more():
    assert share(28, 30, 50, air=11.8) > share(28, 30, 50)
