"""Part-full flow over its whole range, and what it refuses."""

import math

import pytest

from eavewell.faults import OutOfRange
from eavewell.hydraulics.horizontal_drains import drain_l_s_manning
from eavewell.hydraulics.part_full import (
    DEEPEST_SHARE,
    MOST_OVER_FULL,
    area_ratio,
    fall_for_flow,
    fall_for_speed,
    flow_ratio,
    normal_depth_share,
    speed_m_s_part_full,
    speed_ratio,
)

DEPTHS = [step / 500 for step in range(501)]


def test_rising_from_nothing():
    assert area_ratio(0) == speed_ratio(0) == flow_ratio(0) == 0
    assert area_ratio(1) == pytest.approx(1)
    assert speed_ratio(1) == pytest.approx(1)
    areas = [area_ratio(depth) for depth in DEPTHS]
    assert areas == sorted(areas)
    rising = [flow_ratio(depth) for depth in DEPTHS if depth <= DEEPEST_SHARE]
    assert rising == sorted(rising)
    assert 0 < speed_ratio(1e-9) < speed_ratio(1e-6)


def test_depth_and_flow_are_inverse():
    shares = [MOST_OVER_FULL * step / 300 for step in range(301)]
    depths = [normal_depth_share(share) for share in shares]
    assert depths == sorted(depths)
    assert depths[0] == pytest.approx(0, abs=1e-12)
    for share, depth in zip(shares, depths, strict=True):
        assert flow_ratio(depth) == pytest.approx(share, abs=1e-4)


@pytest.mark.parametrize("share", [-0.01, 1.08, math.nan, math.inf])
def test_no_such_flow(share):
    with pytest.raises(OutOfRange):
        normal_depth_share(share)


@pytest.mark.parametrize("depth", [-0.01, 1.01, math.nan])
def test_no_such_depth(depth):
    with pytest.raises(OutOfRange):
        flow_ratio(depth)


@pytest.mark.parametrize("bore_mm", [50, 100, 200])
def test_speed_over_falls_and_flows(bore_mm):
    full = drain_l_s_manning(bore_mm, 0.01, roughness_n=0.01)

    def speed(flow_l_s, fall=0.01):
        return speed_m_s_part_full(flow_l_s, bore_mm=bore_mm, fall=fall, roughness_n=0.01)

    by_flow = [speed(full * step / 100) for step in range(90)]
    assert by_flow == sorted(by_flow)
    by_fall = [speed(full / 10, fall=step / 500) for step in range(5, 200)]
    assert by_fall == sorted(by_fall)
    # Half full runs as fast as full: flow over area, by continuity.
    assert speed(full / 2) == pytest.approx(full / (math.pi / 4 * bore_mm**2) * 1000, rel=1e-6)
    assert speed(2 * full) == pytest.approx(2 * speed(full), rel=1e-6)


@pytest.mark.parametrize("flow_l_s", [0.5, 2.0, 8.0])
def test_falls_are_inverse(flow_l_s):
    fall = fall_for_flow(flow_l_s, bore_mm=100, roughness_n=0.01)
    assert drain_l_s_manning(100, fall, roughness_n=0.01) == pytest.approx(flow_l_s)
    clean = fall_for_speed(0.9, flow_l_s=flow_l_s, bore_mm=100, roughness_n=0.01)
    runs = speed_m_s_part_full(flow_l_s, bore_mm=100, fall=clean, roughness_n=0.01)
    assert runs >= 0.9 - 1e-9
    if clean > fall * 1.001:
        slower = speed_m_s_part_full(flow_l_s, bore_mm=100, fall=0.99 * clean, roughness_n=0.01)
        assert slower < 0.9


def test_no_fall_makes_a_drip_run():
    assert fall_for_speed(5.0, flow_l_s=0.001, bore_mm=100, roughness_n=0.01) is None
    assert fall_for_speed(0.6, flow_l_s=500.0, bore_mm=100, roughness_n=0.01) is None
    with pytest.raises(OutOfRange):
        fall_for_flow(0.0, bore_mm=100, roughness_n=0.01)
