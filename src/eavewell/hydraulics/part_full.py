"""A round pipe that is not full, by Manning with one roughness at every depth: exact geometry."""

import math

from eavewell.faults import OutOfRange
from eavewell.hydraulics.horizontal_drains import drain_l_s_manning

# Depth at which a round pipe carries most, and how much more than full that is.
DEEPEST_SHARE = 0.93818
MOST_OVER_FULL = 1.0757
_STEEPEST = 0.5


def area_ratio(depth_share: float) -> float:
    """Wetted area over the whole, at a depth of 0 to 1 of the bore."""
    angle = _angle(depth_share)
    return (angle - math.sin(angle)) / (2.0 * math.pi)


def speed_ratio(depth_share: float) -> float:
    """Speed over the speed of the full pipe: the hydraulic radius ratio to the power 2/3."""
    angle = _angle(depth_share)
    if angle == 0.0:
        return 0.0
    # 1 - sin(x)/x loses its figures near nothing, where it is x^2/6.
    radius_ratio = angle**2 / 6.0 if angle < 1e-4 else 1.0 - math.sin(angle) / angle
    return float(radius_ratio ** (2.0 / 3.0))


def flow_ratio(depth_share: float) -> float:
    """Flow over the flow of the full pipe."""
    return area_ratio(depth_share) * speed_ratio(depth_share)


def normal_depth_share(flow_over_full: float) -> float:
    """Depth over bore at which a pipe carries a flow, on the rising limb, by halving.

    flow_over_full : 0 to 1.0757, the most a round pipe carries with a free surface; more is
    refused with OutOfRange.
    """
    if not 0.0 <= flow_over_full <= MOST_OVER_FULL:
        raise OutOfRange(
            f"A round pipe carries up to {MOST_OVER_FULL:g} of its full flow with a free surface, "
            f"not {flow_over_full:.4g}."
        )
    low, high = 0.0, DEEPEST_SHARE
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (middle, high) if flow_ratio(middle) < flow_over_full else (low, middle)
    return high


def speed_m_s_part_full(
    flow_l_s: float, *, bore_mm: float, fall: float, roughness_n: float
) -> float:
    """Mean speed of a flow in a pipe laid to a fall; a flow beyond the full one fills the pipe."""
    full_l_s = drain_l_s_manning(bore_mm, fall, roughness_n=roughness_n)
    whole_m2 = math.pi / 4.0 * (bore_mm / 1000.0) ** 2
    if flow_l_s >= full_l_s:
        return flow_l_s / 1000.0 / whole_m2
    depth = normal_depth_share(flow_l_s / full_l_s)
    return full_l_s / 1000.0 / whole_m2 * speed_ratio(depth)


def fall_for_flow(flow_l_s: float, *, bore_mm: float, roughness_n: float) -> float:
    """Fall at which a pipe runs just full with a flow: it grows with the flow squared."""
    if flow_l_s <= 0.0:
        raise OutOfRange("A fall follows only from a flow above 0.")
    steep_l_s = drain_l_s_manning(bore_mm, _STEEPEST, roughness_n=roughness_n)
    return _STEEPEST * (flow_l_s / steep_l_s) ** 2


def fall_for_speed(
    speed_m_s: float, *, flow_l_s: float, bore_mm: float, roughness_n: float
) -> float | None:
    """Least fall at which a flow that does not fill the pipe runs at a speed, by halving.

    None where no fall up to 0.5 brings it to that speed.
    """
    low = fall_for_flow(flow_l_s, bore_mm=bore_mm, roughness_n=roughness_n)
    high = _STEEPEST

    def runs_m_s(fall: float) -> float:
        return speed_m_s_part_full(flow_l_s, bore_mm=bore_mm, fall=fall, roughness_n=roughness_n)

    if low > high or runs_m_s(high) < speed_m_s:
        return None
    if runs_m_s(low) >= speed_m_s:
        return low
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (middle, high) if runs_m_s(middle) < speed_m_s else (low, middle)
    return high


def _angle(depth_share: float) -> float:
    """Angle at the centre that the water's surface spans."""
    if not 0.0 <= depth_share <= 1.0:
        raise OutOfRange(f"A depth of {depth_share:g} of the bore does not stand in a pipe.")
    return 2.0 * math.acos(1.0 - 2.0 * depth_share)
