"""Gutters and downspouts from their parts of the site file, and a roof's pitch from its slope."""

import math
import re

from eavewell.files.site.parts import Part
from eavewell.site.gutter import Downspout, Gutter

_RISE_IN_RUN = re.compile(r"([0-9.]+) ?(?:in|:|/) ?([0-9.]+)")
_DEGREES = re.compile(r"([0-9.]+) ?(?:deg|degrees|\u00b0)")


def gutter_of(part: Part) -> Gutter:
    """One run of gutter."""
    width_mm, depth_mm = part["width"] or 100.0, part["depth"]
    if part["shape"] != "half-round" and depth_mm is None:
        part.fault("a gutter that is not half-round needs its depth.", "depth")
    return Gutter(
        name=part["name"] or "",
        shape=part["shape"] or "half-round",
        width_mm=width_mm,
        length_m=part["length"] or 1.0,
        depth_mm=depth_mm,
        fall=part["fall"],
        plan_area_m2=part["area"],
        wall_m2=part["wall"] or 0.0,
        walls=part["walls"] or 0,
        corners=part["corners"] or 0,
        downspout=_downspout(part),
        spouts=part["spouts"] or 1,
        spills_on=part["spills_on"] or "unknown",
    )


def pitch_of(slope: str | None) -> float | None:
    """Rise over run of a slope in words, "4 in 12", "1:3" or "18 deg"; None where it is neither."""
    text = (slope or "").strip()
    if found := _RISE_IN_RUN.fullmatch(text):
        return _over(found[1], found[2])
    if found := _DEGREES.fullmatch(text):
        degrees = _number(found[1])
        return math.tan(math.radians(degrees)) if degrees is not None and degrees < 85 else None
    return None


def _over(rise: str, run: str) -> float | None:
    over, under = _number(rise), _number(run)
    return over / under if over is not None and under else None


def _number(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None


def _downspout(part: Part) -> Downspout | None:
    round_one = part["spout_bore"] is not None
    sides = [part["spout_width"], part["spout_depth"]]
    if round_one and any(sides):
        part.fault("a downspout is round or rectangular, not both.", "spout_bore")
    elif any(sides) and not all(sides):
        part.fault("a rectangular downspout needs spout_width and spout_depth.", "spout_width")
    if not round_one and not all(sides):
        return None
    return Downspout(
        bore_mm=part["spout_bore"],
        width_mm=None if round_one else sides[0],
        depth_mm=None if round_one else sides[1],
        outlet_mm=part["outlet"],
        into_mm=part["into"],
    )
