"""Cross-connection ordinances, air gap twice the supply's bore (reference 5.5, FOUND)."""

import pytest

from eavewell.findings.tank_supply import least_gap_m
from eavewell.site.lift import Lift
from eavewell.site.pipe import Pipe

INCH = 0.0254


@pytest.mark.parametrize(("bore_in", "gap_in"), [(0.5, 1.0), (0.75, 1.5), (1.0, 2.0), (2.0, 4.0)])
def test_the_table_of_the_ordinances(bore_in, gap_in):
    make_up = Lift("make-up", "mains", "tank", riser=Pipe(bore_in * 25.4, 3.0))
    assert least_gap_m([make_up]) == pytest.approx(gap_in * INCH)


def test_an_inch_at_least():
    assert least_gap_m([]) == pytest.approx(INCH)
    assert least_gap_m([Lift("make-up", "mains", "tank", riser=Pipe(6.0, 3.0))]) == INCH


def test_the_widest_of_several_rules():
    pipes = [Lift(str(at), "mains", "tank", riser=Pipe(at * 25.4, 3.0)) for at in (0.5, 1.0)]
    assert least_gap_m(pipes) == pytest.approx(2.0 * INCH)
