"""What a gutter carries to its outlet: by EN 12056-3, by Beij (1934), by code table.

The published rules are for half-round gutters. A rectangular or ogee gutter counts as the
half-round of equal area, as newer codes allow where its depth is at least 0.75 of its width;
a wider one counts no wider than that.
"""

import math

import numpy as np

from eavewell.faults import OutOfRange
from eavewell.hydraulics.code_tables import gutter_l_s_code
from eavewell.hydraulics.roof_methods import Method
from eavewell.site.gutter import Gutter
from eavewell.tables import rows, table

_MM_PER_FT, _L_PER_FT3 = 304.8, 28.316846592
_LEAST_WIDTH_MM, _MOST_WIDTH_MM = 50.0, 400.0


def gutter_l_s(gutter: Gutter, method: Method) -> float:
    """What the whole run carries to its downspouts, each at the end of its part of the run.

    Raises OutOfRange where the method's rule does not reach: size, length or fall.
    """
    return gutter.spouts * _part_l_s(gutter, method)


def gutter_l_s_beij(width_mm: float) -> float:
    """Level half-round gutter by Beij (1934), Q = 0.52 w^2.5; width 50 to 400 mm."""
    width_ft = _some_width(width_mm) / _MM_PER_FT
    return float(table("eave_figures")["beij half-round"].value * width_ft**2.5 * _L_PER_FT3)


def gutter_l_s_en_12056(
    area_mm2: float, *, depth_mm: float, length_m: float, corners: int = 0
) -> float:
    """Level half-round eaves gutter by EN 12056-3: 0.9 x 2.78e-5 A^1.25, long ones less.

    length_m : from the high end to the outlet, to 500 depths; each corner takes 15 % off.
    """
    figures = table("eave_figures")
    _some_width(_half_round_width_mm(area_mm2))
    full = figures["en eaves gutter"].value * area_mm2**1.25
    shaped = figures["en eaves safety"].value * figures["en corner"].value ** corners
    return float(full * shaped * long_gutter_factor(length_m * 1000.0 / depth_mm))


def long_gutter_factor(length_over_depth: float) -> float:
    """Part of its capacity that a long gutter keeps, by tables/long_gutters.csv."""
    found = rows("long_gutters")
    lengths = [float(row["length_over_depth"]) for row in found]
    if not 0.0 < length_over_depth <= lengths[-1]:
        raise OutOfRange(
            f"EN 12056-3 knows gutters to {lengths[-1]:g} depths long, not {length_over_depth:.0f}."
        )
    return float(np.interp(length_over_depth, lengths, [float(row["factor"]) for row in found]))


def counted_section_mm2(gutter: Gutter) -> float:
    """Cross-section that counts as a half-round's."""
    figures, width = table("eave_figures"), gutter.width_mm
    if gutter.shape == "half-round":
        return _arc_mm2(width, min(gutter.depth_mm or width / 2.0, width / 2.0))
    depth = depth_of_mm(gutter)
    part = figures["ogee area"].value if gutter.shape == "ogee" else 1.0
    return part * depth * min(width, depth / figures["depth to width"].value)


def _arc_mm2(width_mm: float, depth_mm: float) -> float:
    """Section under a chord: of a half-round, or of one rolled flatter."""
    radius = (width_mm**2 / 4.0 + depth_mm**2) / (2.0 * depth_mm)
    angle = 2.0 * math.atan2(width_mm / 2.0, radius - depth_mm)
    return radius**2 / 2.0 * (angle - math.sin(angle))


def depth_of_mm(gutter: Gutter) -> float:
    """Inside depth; half the width of a half-round where none is stated."""
    if gutter.depth_mm is not None:
        return gutter.depth_mm
    if gutter.shape != "half-round":
        raise OutOfRange("a gutter that is not half-round needs its depth")
    return gutter.width_mm / 2.0


def section_length_m(gutter: Gutter) -> float:
    """Length of the run that one downspout drains."""
    return gutter.length_m / gutter.spouts


def _part_l_s(gutter: Gutter, method: Method) -> float:
    area_mm2 = counted_section_mm2(gutter)
    if method.gutter == "EN 12056-3":
        return gutter_l_s_en_12056(
            area_mm2,
            depth_mm=depth_of_mm(gutter),
            length_m=section_length_m(gutter),
            corners=math.ceil(gutter.corners / gutter.spouts),
        )
    width_mm = _half_round_width_mm(area_mm2)
    if method.gutter == "Beij":
        return gutter_l_s_beij(width_mm)
    if gutter.fall is None:
        raise OutOfRange("the fall of the gutter is unknown")
    return gutter_l_s_code(width_mm, gutter.fall, edition=method.gutter)


def _half_round_width_mm(area_mm2: float) -> float:
    return math.sqrt(8.0 * area_mm2 / math.pi)


def _some_width(width_mm: float) -> float:
    if not _LEAST_WIDTH_MM <= width_mm <= _MOST_WIDTH_MM:
        raise OutOfRange(
            f"Gutters from {_LEAST_WIDTH_MM:g} to {_MOST_WIDTH_MM:g} mm wide are known, "
            f"not {width_mm:.0f} mm."
        )
    return width_mm
