"""Part-full round pipes, constant n: theory (COMPUTED); 1.14 at 81 % of the depth seen (FOUND).

The same ratios follow here by cutting the section into thin strips, with no angle in it.
"""

import math

import pytest

from eavewell.hydraulics.part_full import (
    DEEPEST_SHARE,
    MOST_OVER_FULL,
    area_ratio,
    flow_ratio,
    normal_depth_share,
    speed_ratio,
)

ROWS = [
    (0.25, 0.701, 0.137),
    (0.30, 0.776, 0.196),
    (0.50, 1.000, 0.500),
    (0.75, 1.134, 0.912),
    (0.80, 1.140, 0.978),
    (0.938, 1.104, 1.0757),
]


@pytest.mark.parametrize(("depth", "speed", "flow"), ROWS)
def test_ratios(depth, speed, flow):
    assert speed_ratio(depth) == pytest.approx(speed, abs=0.001)
    assert flow_ratio(depth) == pytest.approx(flow, abs=0.001)


def test_fastest_at_81_and_most_at_94_per_cent():
    depths = [step / 1000 for step in range(1001)]
    assert max(depths, key=speed_ratio) == pytest.approx(0.81, abs=0.005)
    assert speed_ratio(0.81) == pytest.approx(1.140, abs=0.001)
    assert max(depths, key=flow_ratio) == pytest.approx(DEEPEST_SHARE, abs=0.001)
    assert flow_ratio(DEEPEST_SHARE) == pytest.approx(MOST_OVER_FULL, abs=1e-4)


@pytest.mark.parametrize("depth", [0.1, 0.3, 0.5, 0.7, 0.9])
def test_ratios_by_strips(depth):
    strips = 20_000
    heights = [(k + 0.5) * depth / strips for k in range(strips)]
    widths = [2 * math.sqrt(y * (1 - y)) for y in heights]
    area = sum(widths) * depth / strips
    # An arc of a circle of bore 1: dy over the half width, times the radius.
    wetted = 2 * sum(0.5 / (w / 2) for w in widths) * depth / strips
    radius_ratio = (area / wetted) / 0.25
    assert area_ratio(depth) == pytest.approx(area / (math.pi / 4), rel=1e-4)
    assert speed_ratio(depth) == pytest.approx(radius_ratio ** (2 / 3), rel=0.005)


@pytest.mark.parametrize(("depth", "flow"), [(0.25, 0.137), (0.50, 0.5), (0.75, 0.912)])
def test_depth_of_a_flow(depth, flow):
    assert normal_depth_share(flow) == pytest.approx(depth, abs=0.001)
