"""Gutters and downspouts from their parts of the site file."""

from eavewell.files.site.parts import Part
from eavewell.site.gutter import Downspout, Gutter


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
