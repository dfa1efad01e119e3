"""Tank shapes against integration of their sections, and the measured table both ways."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from eavewell.site.tank import Tank
from eavewell.site.tank_shape import (
    Box,
    ConeBottom,
    HorizontalCylinder,
    StrappingTable,
    UprightCylinder,
    depth_at,
    strapping_table,
)

SHAPES = [
    UprightCylinder(2.44, 2.29),
    Box(3.0, 2.0, 1.5),
    HorizontalCylinder(1.8, 4.0),
    ConeBottom(2.0, 0.6, 2.5),
    StrappingTable((0.0, 0.5, 2.0), (0.0, 300.0, 2100.0)),
]


def by_slices(area_at, depth_m, slices=20_000):
    """Midpoint rule over the depth, in litres."""
    middles = (np.arange(slices) + 0.5) * depth_m / slices
    return 1000.0 * sum(area_at(z) for z in middles) * depth_m / slices


@pytest.mark.parametrize("share", [0.05, 0.3, 0.5, 0.77, 1.0])
def test_a_lying_cylinder_agrees_with_its_slices(share):
    diameter_m, length_m = 1.8, 4.0
    radius = diameter_m / 2

    def water_surface(z):
        return 2.0 * math.sqrt(radius**2 - (radius - z) ** 2) * length_m

    depth_m = share * diameter_m
    expected_l = by_slices(water_surface, depth_m)
    volume_l = HorizontalCylinder(diameter_m, length_m).volume_l(depth_m)
    assert volume_l == pytest.approx(expected_l, rel=1e-5)


@pytest.mark.parametrize("depth_m", [0.2, 0.6, 1.0, 2.5])
def test_a_cone_bottom_agrees_with_its_slices(depth_m):
    def water_surface(z):
        return math.pi * (1.0 * min(z / 0.6, 1.0)) ** 2

    expected_l = by_slices(water_surface, depth_m)
    assert ConeBottom(2.0, 0.6, 2.5).volume_l(depth_m) == pytest.approx(expected_l, rel=1e-6)


def test_a_cone_holds_a_third_of_its_cylinder():
    # 1/3 x pi/4 x 2^2 x 0.6 m3
    assert ConeBottom(2.0, 0.6, 2.5).volume_l(0.6) == pytest.approx(1000 * math.pi * 0.2)


def test_half_a_lying_cylinder_is_half_its_volume():
    lying = HorizontalCylinder(1.8, 4.0)
    assert lying.volume_l(0.9) == pytest.approx(1000 * math.pi * 0.9**2 * 4.0 / 2)


def test_between_two_rows_of_a_measured_table_the_line_is_straight():
    measured = StrappingTable((0.0, 0.5, 2.0), (0.0, 300.0, 2100.0))
    assert measured.volume_l(1.25) == pytest.approx(1200.0)
    assert depth_at(measured, 1200.0) == pytest.approx(1.25)


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: type(shape).__name__)
@given(share=st.floats(0.0, 1.0))
def test_law_depth_and_volume_there_and_back(shape, share):
    depth_m = share * shape.height_m
    volume_l = shape.volume_l(depth_m)
    again_m = depth_at(shape, volume_l)
    assert shape.volume_l(again_m) == pytest.approx(volume_l, abs=1e-6)
    assert again_m == pytest.approx(depth_m, abs=1e-3)


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: type(shape).__name__)
def test_below_the_floor_and_above_the_rim(shape):
    full_l = shape.volume_l(shape.height_m)
    assert shape.volume_l(-1.0) == 0.0
    assert shape.volume_l(shape.height_m + 1.0) == full_l
    assert depth_at(shape, -5.0) == pytest.approx(0.0, abs=1e-9)
    assert depth_at(shape, full_l + 5.0) == pytest.approx(shape.height_m)


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: type(shape).__name__)
def test_the_strapping_table_rises_from_empty_to_the_rim(shape):
    depths_m, volumes_l = strapping_table(shape)
    assert depths_m[0] == volumes_l[0] == 0.0
    assert depths_m[-1] == shape.height_m
    assert np.all(np.diff(depths_m) > 0)
    assert np.all(np.diff(depths_m) <= 0.01 + 1e-12)
    assert np.all(np.diff(volumes_l) > 0)


def test_usable_lies_between_outlet_and_overflow_of_all_tanks():
    tank = Tank("t", count=3, shape=Box(2.0, 1.0, 2.0), outlet_m=0.1, overflow_m=1.9)
    # 2 m2 of floor: 2 L a millimetre
    assert tank.rim_l == pytest.approx(3 * 4000.0)
    assert tank.full_l == pytest.approx(3 * 3800.0)
    assert tank.dead_storage_l == pytest.approx(3 * 200.0)
    assert tank.usable_l == pytest.approx(3 * 3600.0)


def test_a_stated_dead_storage_goes_before_the_outlet():
    tank = Tank("t", count=2, stated_l=1000.0, dead_l=50.0, outlet_m=0.2)
    assert (tank.full_l, tank.usable_l) == (2000.0, 1900.0)
