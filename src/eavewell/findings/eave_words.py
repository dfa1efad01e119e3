"""Sentences on a gutter run: what it should carry, where it spills, what changes."""

from eavewell.hydraulics.eave_parts import Part
from eavewell.hydraulics.eaves import EaveRun, Eaves
from eavewell.hydraulics.roof_area import roof_flow_l_s
from eavewell.hydraulics.standard_sizes import called
from eavewell.site.gutter import Downspout, Gutter
from eavewell.site.place import Show
from eavewell.units import show

SPILLS = {
    "clear ground": "on clear ground, where a rare spill does no harm",
    "door": "over a door, where it does harm",
    "footing": "at a footing, where it does harm",
    "unknown": "and what stands below is unknown",
}
NAMES = {
    "gutter": "gutter",
    "outlet": "outlet in the gutter",
    "downspout": "downspout",
    "transition": "pipe below the downspout",
}


def part_says(run: EaveRun, part: Part, *, eaves: Eaves, system: Show) -> str:
    """What a part lacks at the design storm, from which rain on it spills, how often, where."""
    from_mm_h = (part.capacity_l_s or 0.0) / roof_flow_l_s(run.area_m2, 1.0)
    rains = [
        show(mm_h, "intensity", system=system) for mm_h in (eaves.intensity_mm_h or 0.0, from_mm_h)
    ]
    often = ""
    if part.name == run.governing and run.spill_years is not None:
        often = f", about once in {run.spill_years:.2g} years"
    verb = "carries" if run.gutter.spouts == 1 or part.name == "gutter" else "together carry"
    name = NAMES[part.name] + ("" if verb == "carries" else "s")
    return (
        f"The {name} {verb} less than the {eaves.minutes:g}-minute rain of {eaves.years:g} years "
        f"({rains[0]}): it spills from {rains[1]} on{often}, {SPILLS[run.gutter.spills_on]}."
    )


def spout_words(spout: Downspout, system: Show) -> str:
    """The size of a downspout, such as "4 in round" or "3 x 4 in", the narrow side first."""
    if spout.bore_mm is not None:
        return f"{show(spout.bore_mm, 'bore', system=system)} round"
    sides = sorted((spout.depth_mm or 0.0, spout.width_mm or 0.0))
    narrow, wide = (show(side, "bore", system=system) for side in sides)
    return f"{narrow.split(' ')[0]} x {wide}"


def gutter_words(gutter: Gutter, system: Show) -> str:
    """The size of a gutter, such as "6 in half-round" or "5 in ogee, 3.75 in deep"."""
    wide = f"{show(gutter.width_mm, 'bore', system=system)} {gutter.shape}"
    if gutter.shape == "half-round" or gutter.depth_mm is None:
        return wide
    return f"{wide}, {show(gutter.depth_mm, 'bore', system=system)} deep"


def run_changed(before: Gutter, after: Gutter, *, system: Show) -> str:
    """What of a run is changed, in words."""
    words, old, new = [], before.downspout, after.downspout
    if (before.width_mm, before.depth_mm) != (after.width_mm, after.depth_mm):
        words.append(f"a {gutter_words(after, system)} gutter")
    if old is not None and new is not None:
        words += _spout_changed(old, new, system=system)
    if before.spouts != after.spouts:
        words.append(f"{after.spouts} downspouts in place of {before.spouts}")
    return " with ".join(words)


def _spout_changed(old: Downspout, new: Downspout, *, system: Show) -> list[str]:
    words = []
    if spout_words(old, system) != spout_words(new, system):
        words.append(f"a {spout_words(new, system)} downspout, its outlet as wide")
    elif old.outlet_mm != new.outlet_mm:
        words.append("an outlet as wide as the downspout")
    if old.into_mm != new.into_mm and new.into_mm is not None:
        words.append(f"a {called(new.into_mm)} pipe below the downspout")
    return words
