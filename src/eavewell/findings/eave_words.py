"""Sentences on a gutter run: what it should carry, where it spills, what changes."""

import math

from eavewell.hydraulics.eaves import EaveRun, Eaves
from eavewell.hydraulics.roof_methods import Method
from eavewell.hydraulics.standard_sizes import called
from eavewell.site.gutter import Downspout, Gutter
from eavewell.site.place import Show
from eavewell.tables import rows, sources, table
from eavewell.units import show

SPILLS = {
    "clear ground": "on clear ground, where a rare spill does no harm",
    "door": "over a door, where it does harm",
    "footing": "at a footing, where it does harm",
    "unknown": "and what stands below is unknown",
}
# Row of tables/eave_figures.csv behind each rule that is a formula.
RULES = {
    ("gutter", "Beij"): "beij half-round",
    ("gutter", "EN 12056-3"): "en eaves gutter",
    ("downspout", "outlet"): "en outlet weir",
    ("downspout", "sheet metal"): "roof per square inch",
    ("downspout", "EN 12056-3"): "en downpipe",
    ("downspout", "Wyly-Eaton"): "wyly-eaton",
}
NAMES = {
    "gutter": "gutter",
    "outlet": "outlet in the gutter",
    "downspout": "downspout",
    "transition": "pipe below the downspout",
}


def run_says(run: EaveRun, eaves: Eaves, *, system: Show) -> str:
    """Which part lacks most at the design storm, from which rain on it spills, how often, where."""
    asked = show(eaves.rain.mm_h if eaves.rain else 0.0, "intensity", system=system)
    from_rain = show(run.spill_mm_h or 0.0, "intensity", system=system)
    low = [p.name for p in run.parts if (p.capacity_l_s or math.inf) < (run.flow_l_s or 0.0)]
    others = [NAMES[name] for name in low if name != run.governing]
    also = f" Too small as well: {', '.join(others)}." if others else ""
    return (
        f"Its {NAMES[run.governing]} holds less than the {eaves.minutes:g}-minute rain of "
        f"{eaves.years:g} years ({asked}): it spills from {from_rain} on{_often(run)}, "
        f"{SPILLS[run.gutter.spills_on]}.{also}{_rare(run)}"
    )


def basis_of(part: str, method: Method) -> str:
    """Title and place of the rule that a part is judged by."""
    rule = {"gutter": method.gutter, "outlet": "outlet"}.get(part, method.leader)
    known = "gutter" if part == "gutter" else "downspout"
    if (row := RULES.get((known, rule))) is not None:
        entry = table("eave_figures")[row]
        return f"{sources()[entry.source]['title']}: {entry.place}"
    name = "code_gutters" if part == "gutter" else "code_leaders"
    cited = next(row for row in rows(name) if row["edition"] == rule)
    return f"{sources()[cited['source']]['title']}: {cited['place']}"


def _rare(run: EaveRun) -> str:
    if run.harm_mm_h is None:
        return ""
    years = table("eave_figures")["harm years"].value
    return f" There it should hold the rain of {years:g} years, which the change is made for."


def _often(run: EaveRun) -> str:
    years = run.spill_years
    if years is None or not 0.0 < years < math.inf:
        return ""
    if years >= 1.0:
        return f", about once in {years:.2g} years"
    times = round(1.0 / years)
    return f", about {f'{times} times' if times > 1 else 'once'} a year"


def spout_words(spout: Downspout, system: Show) -> str:
    """The size of a downspout, such as "4 in round" or "3 x 4 in", the narrow side first."""
    if spout.bore_mm is not None:
        return f"{show(spout.bore_mm, 'bore', system=system)} round"
    return _sides(*sorted((spout.depth_mm or 0.0, spout.width_mm or 0.0)), system=system)


def gutter_words(gutter: Gutter, system: Show) -> str:
    """The size of a gutter, such as "6 in half-round" or "5 x 3.75 in ogee", the width first."""
    if gutter.shape == "half-round" or gutter.depth_mm is None:
        return f"{show(gutter.width_mm, 'bore', system=system)} {gutter.shape}"
    return f"{_sides(gutter.width_mm, gutter.depth_mm, system=system)} {gutter.shape}"


def pipe_words(bore_mm: float, system: Show) -> str:
    """What a round pipe is called: by its nominal size in inches, by its bore in mm."""
    return called(bore_mm) if system == "us" else show(bore_mm, "bore", system=system)


def run_changed(before: Gutter, after: Gutter, *, system: Show) -> str:
    """What of a run is changed, in words."""
    words, old, new = [], before.downspout, after.downspout
    if (before.width_mm, before.depth_mm) != (after.width_mm, after.depth_mm):
        words.append(f"{_a(gutter_words(after, system))} gutter")
    if old is not None and new is not None:
        words += _spout_changed(old, new, system=system)
    if before.spouts != after.spouts:
        words.append(f"{after.spouts} downspouts in place of {before.spouts}")
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last


def _spout_changed(old: Downspout, new: Downspout, *, system: Show) -> list[str]:
    words = []
    if spout_words(old, system) != spout_words(new, system):
        words.append(f"{_a(spout_words(new, system))} downspout with an outlet as wide")
    elif old.outlet_mm != new.outlet_mm:
        words.append("an outlet as wide as the downspout")
    if old.into_mm != new.into_mm and new.into_mm is not None:
        words.append(f"{_a(pipe_words(new.into_mm, system))} pipe below the downspout")
    return words


def _sides(one_mm: float, other_mm: float, *, system: Show) -> str:
    one, other = (show(side, "bore", system=system) for side in (one_mm, other_mm))
    return f"{one.split(' ')[0]} x {other}"


def _a(size: str) -> str:
    """A size with its article: a 6 in, an 8 in."""
    return f"{'an' if size.startswith(('8', '11 ', '18 ')) else 'a'} {size}"
