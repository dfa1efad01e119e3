"""Peak flow of a small place by the rational method."""

from eavewell.faults import OutOfRange


def peak_l_s_rational(coefficient: float, intensity_mm_h: float, *, area_m2: float) -> float:
    """Peak flow, Q = C I A; in SI units C I A / 3600 L/s.

    coefficient : 0 to 1. intensity_mm_h : over the time of concentration. area_m2 : small places
    only (below about 80 ha). OutOfRange outside.
    """
    if not 0.0 <= coefficient <= 1.0 or intensity_mm_h < 0.0 or not 0.0 <= area_m2 <= 8e5:
        raise OutOfRange("The rational method wants C of 0 to 1, rain, and at most 80 ha.")
    return coefficient * intensity_mm_h * area_m2 / 3600.0
