"""Common practice, no source: a clear tube beside the tank reads the level.

Derived: the volumes, by hand.
"""

import math

import numpy as np
import pytest

from eavewell.logbook.readings.gauged import held_l
from eavewell.site.gauge import Gauge
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import UprightCylinder


def test_a_clear_tube_reads_the_level_of_the_tank():
    # 96 in across, 41 in of water, outlet at 4 in: 37 in of it can be drawn;
    # pi / 4 x 96 in x 96 in x 37 in = 267,816 in3 = 1,159.4 gal (231 in3 in a gallon)
    shape = UprightCylinder(96 * 0.0254, 84 * 0.0254)
    tank = Tank("main", shape=shape, outlet_m=4 * 0.0254)
    tube = Gauge("main tube", "level", of="main", how="sight tube")
    gallons = held_l(tank, tube, said=np.array([41 * 0.0254]))[0] / 3.785411784
    assert gallons == pytest.approx(math.pi / 4 * 96**2 * 37 / 231)
    assert gallons == pytest.approx(1159.4, abs=0.1)
