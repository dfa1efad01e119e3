"""From memory: the speed of sound in air rises with the root of its absolute temperature.

Remembered: the law. Computed here: 1.5 m at 0 C by a sensor that reckons with 20 C.
"""

import numpy as np
import pytest

from eavewell.logbook.readings.gauged import true_distance_by_sound


def test_a_sensor_set_for_20_c_is_52_mm_out_at_1_5_m_in_air_at_0_c():
    # sqrt(273.15 / 293.15) = 0.96529; 1.5 m x (1 - 0.96529) = 0.0521 m
    true_m = true_distance_by_sound(np.array([1.5]), np.array([0.0]), reckoned_c=20.0)
    assert 1000.0 * (1.5 - true_m[0]) == pytest.approx(52.0, abs=0.5)


def test_by_the_speeds_themselves():
    # 331.3 m/s at 0 C and 343.2 m/s at 20 C, as every table has them: the echo takes
    # 2 x d / 331.3 s and is reckoned with 343.2 m/s
    echo_s = 2.0 * 1.448 / 331.3
    reckoned_m = echo_s * 343.2 / 2.0
    true_m = true_distance_by_sound(np.array([reckoned_m]), np.array([0.0]), reckoned_c=20.0)
    assert true_m[0] == pytest.approx(1.448, abs=0.0005)
