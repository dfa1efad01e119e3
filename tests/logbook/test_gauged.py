"""Levels and volumes by gauges: zeros, known levels, blind zone, air, strapping."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from eavewell.faults import BadLog
from eavewell.logbook.readings.calibration import calibration
from eavewell.logbook.readings.gauged import held_l, levels, noise_m, strapping
from eavewell.site.gauge import Gauge, KnownLevel
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import (
    Box,
    ConeBottom,
    HorizontalCylinder,
    StrappingTable,
    UprightCylinder,
)

STICK = Gauge("stick", "level", of="main", how="stick")
EYE = Gauge("eye", "level", of="main", how="ultrasonic", zero_m=2.5, blind_m=0.25)


def one(gauge, said, **air):
    return levels(gauge, np.array([said]), **air).level_m[0]


def known(gauge, *pairs):
    return replace(gauge, known_levels=tuple(KnownLevel(*pair) for pair in pairs))


def test_a_stick_reads_from_its_zero():
    assert one(STICK, 1.04) == pytest.approx(1.04)
    assert one(replace(STICK, zero_m=0.05), 1.04) == pytest.approx(1.09)


def test_a_sensor_in_the_lid_looks_down():
    assert one(EYE, 1.0) == pytest.approx(1.5)


def test_in_its_blind_zone_the_level_is_at_least_that():
    found = levels(EYE, np.array([0.1, 0.25, 0.26]))
    assert found.at_least.tolist() == [True, True, False]
    assert found.level_m == pytest.approx([2.25, 2.25, 2.24])


def test_pressure_is_a_depth_over_the_sensor():
    sensor = Gauge("probe", "level", of="main", how="pressure sensor", zero_m=0.1)
    assert one(sensor, 1.2) == pytest.approx(1.3)


def test_one_known_level_sets_the_zero():
    gauge = known(replace(EYE, zero_m=None), (0.8, 1.75))
    assert one(gauge, 1.0) == pytest.approx(1.55)
    assert calibration(gauge).says == "One known level sets the zero."


def test_two_known_levels_are_met_exactly_whatever_the_figure_means():
    # 4 to 20 mA over 4 m: 0.25 m a milliampere
    gauge = known(replace(STICK, zero_m=None, unit="mA", how="pressure sensor"), (4, 0), (20, 4))
    assert one(gauge, 10.0) == pytest.approx(1.5)
    assert "a third would tell" in calibration(gauge).says


def test_three_known_levels_by_least_squares_by_hand():
    # figures 0, 1, 2 at 0.0, 1.1, 2.0 m: mean 1 and 1.0333; slope (2.0 - 0.0) / 2 = 1.0;
    # offset 0.0333; left over -0.0333, 0.0667, -0.0333: squares 0.00667 over 1 = sd 0.0816
    line = calibration(known(STICK, (0, 0.0), (1, 1.1), (2, 2.0)))
    assert line.slope == pytest.approx(1.0)
    assert line.offset_m == pytest.approx(0.03333, abs=1e-4)
    assert line.residual_sd_m == pytest.approx(0.08165, abs=1e-4)
    assert "82 mm" in line.says


def test_known_levels_of_a_stick_in_inches_are_its_inches():
    # 10 in at 0.354 m and 40 in at 1.116 m: a zero 0.1 m up, each inch 25.4 mm
    gauge = known(replace(STICK, unit="in", zero_m=None), (10, 0.354), (40, 1.116))
    assert one(gauge, 20 * 0.0254) == pytest.approx(0.1 + 0.508)


def test_levels_that_stretch_the_metres_are_questioned():
    assert "+1.50: check" in calibration(known(STICK, (0.0, 0.0), (1.0, 1.5))).says
    assert "check" not in calibration(known(STICK, (0.0, 0.0), (1.0, 1.05))).says


@pytest.mark.parametrize(
    ("gauge", "words"),
    [
        (known(STICK, (0, 0), (1, 1), (2, 0.5)), "rise and fall"),
        (known(STICK, (1, 0), (1, 1)), "the same figure"),
        (known(STICK, (0, 1), (1, 1)), "rise and fall"),
        (known(EYE, (0.5, 1.0), (1.0, 1.5)), "looks down"),
        (replace(STICK, zero_m=None), "zero is not known"),
    ],
)
def test_levels_that_contradict_are_refused(gauge, words):
    with pytest.raises(BadLog, match=words):
        calibration(gauge)


def test_air_that_is_known_puts_the_distance_right_and_unknown_air_widens_it():
    eye = replace(EYE, reckons_at_c=20.0)
    found = levels(eye, np.array([1.5, 1.5]), air_c=np.array([0.0, math.nan]))
    assert found.level_m == pytest.approx([2.5 - 1.5 * math.sqrt(273.15 / 293.15), 1.0])
    # 10 C about 293 K is 1.7 % of 1.5 m, half of it in the root: 26 mm
    assert found.common_sd_m == pytest.approx([0.0, 0.0256], abs=1e-4)
    assert levels(EYE, np.array([1.5])).common_sd_m[0] == 0.0


def test_noise_is_as_stated_or_by_the_kind_of_gauge():
    assert noise_m(STICK) == pytest.approx(0.005)
    assert noise_m(replace(STICK, noise=0.02)) == pytest.approx(0.02)
    # stated in milliamperes, it comes through the line: 0.25 m a milliampere
    gauge = known(replace(STICK, zero_m=None, unit="mA", noise=0.1), (4, 0), (20, 4))
    assert noise_m(gauge) == pytest.approx(0.025)
    # levels that lie 82 mm from their line are no better than that
    assert noise_m(known(STICK, (0, 0.0), (1, 1.1), (2, 2.0))) == pytest.approx(0.0816, abs=1e-3)


def integrated_l(width_at, depth_m, *, slices=200_000):
    """Volume by adding thin slices, the second way; width_at gives the section in m2."""
    edges = (np.arange(slices) + 0.5) * depth_m / slices
    return 1000.0 * float(np.sum(width_at(edges))) * depth_m / slices


SECTIONS = [
    (
        HorizontalCylinder(1.8, 3.0),
        lambda z: 3.0 * 2.0 * np.sqrt(np.maximum(0.9**2 - (z - 0.9) ** 2, 0.0)),
    ),
    (Box(2.0, 3.0, 1.5), lambda z: np.full_like(z, 6.0)),
    (UprightCylinder(2.44, 2.0), lambda z: np.full_like(z, math.pi * 1.22**2)),
    (ConeBottom(2.0, 0.5, 2.5), lambda z: math.pi * np.minimum(z / 0.5, 1.0) ** 2),
    (
        # 2 m2 below 1 m, 4 m2 above
        StrappingTable((0.0, 1.0, 2.0), (0.0, 2000.0, 6000.0)),
        lambda z: np.where(z < 1.0, 2.0, 4.0),
    ),
]


@pytest.mark.parametrize(("shape", "section"), SECTIONS, ids=lambda one: type(one).__name__)
@pytest.mark.parametrize("depth_m", [0.03, 0.4, 1.1, 1.45])
def test_strapping_agrees_with_slices_added_up(shape, section, depth_m):
    tank = Tank("row", count=3, shape=shape)
    by_slices = 3 * integrated_l(section, depth_m)
    assert strapping(tank).held_l(np.array([depth_m]))[0] == pytest.approx(by_slices, rel=2e-4)


@pytest.mark.parametrize("shape", [shape for shape, _ in SECTIONS], ids=lambda s: type(s).__name__)
def test_litres_a_metre_are_the_slope_of_the_volume(shape):
    table, at = strapping(Tank("row", count=2, shape=shape)), np.array([0.3, 0.9])
    middle = [2 * (shape.volume_l(x + 0.02) - shape.volume_l(x - 0.02)) / 0.04 for x in at]
    assert table.l_per_m(at, over_m=0.04) == pytest.approx(middle, rel=1e-3)


@given(
    st.sampled_from([shape for shape, _ in SECTIONS]),
    st.lists(st.floats(-1.0, 4.0), min_size=2, max_size=30),
    st.sampled_from([STICK, EYE]),
)
def test_volume_never_falls_as_the_level_rises(shape, figures, gauge):
    tank = Tank("main", shape=shape, dead_l=40.0)
    said = np.array(figures)
    order = np.argsort(levels(gauge, said).level_m, kind="stable")
    assert (np.diff(held_l(tank, gauge, said=said)[order]) >= 0.0).all()


def test_dead_storage_is_below_nothing_and_the_rim_is_the_most():
    tank = Tank("main", count=2, shape=Box(1.0, 1.0, 1.0), outlet_m=0.1)
    # 1 m2 each: 100 L of dead storage each, 1000 L to the rim
    assert held_l(tank, STICK, said=np.array([-0.2, 0.0, 0.1, 1.0, 9.0])) == pytest.approx(
        [-200.0, -200.0, 0.0, 1800.0, 1800.0]
    )


def test_a_tank_without_a_shape_tells_what_is_missing():
    with pytest.raises(BadLog, match=r"tank 'main'.*diameter and height"):
        strapping(Tank("main", stated_l=5000.0))
