"""Whether gutters, outlets, downspouts and screens carry the design storm."""

from collections.abc import Iterator

from eavewell.findings.eave_words import basis_of, pipe_words, run_changed, run_says, spout_words
from eavewell.findings.gutter_changes import gutter_changes
from eavewell.findings.roof_edges import roof_edges_meet
from eavewell.findings.rounding import no_less
from eavewell.hydraulics.downspouts import area_mm2
from eavewell.hydraulics.eave_changes import (
    changes,
    least_downspout,
    spouts_for_length,
)
from eavewell.hydraulics.eaves import EaveRun, Eaves, ScreenFlow
from eavewell.hydraulics.gutters import section_length_m
from eavewell.hydraulics.roof_area import roof_flow_l_s
from eavewell.site.finding import COMMON, Change, Finding
from eavewell.site.gutter import Gutter
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.tables import sources, table
from eavewell.units import show

_M_PER_FT, _MM2_PER_IN2, _MM2_PER_CM2 = 0.3048, 645.16, 100.0


def eaves_hold(site: Site, eaves: Eaves, *, snow: bool) -> Iterator[Finding]:
    """Checks on the eaves: areas, each part of each run, where it spills, screens, snow.

    snow : whether snow falls at the site.
    """
    system = site.place.show
    yield from roof_edges_meet(site, snow=snow)
    if eaves.rain is None and (eaves.runs or any(s.half_l_s for s in eaves.screens)):
        yield _storm_unknown(eaves)
    for run in eaves.runs:
        yield from _carries(run, eaves, system=system)
        yield from _too_long(run, system)
        yield from _too_small(run, eaves, system=system)
        yield from _adapter(run, system)
        yield from _unknown(run)
    guttered = {run.roof for run in eaves.runs}
    for screen in eaves.screens:
        yield from _screened(screen, guttered=screen.roof in guttered, system=system)


def _storm_unknown(eaves: Eaves) -> Finding:
    return Finding(
        "eaves-storm-unknown",
        "note",
        "eaves",
        f"Not checked: rain of {eaves.minutes:g} minutes once in {eaves.years:g} years unknown "
        f"({eaves.says}). Each run says from which rain on it spills.",
        fix="give a table of storms, a city or a rain record of short steps",
    )


def _carries(run: EaveRun, eaves: Eaves, *, system: Show) -> Iterator[Finding]:
    """A gutter that falls clear may spill in a rare storm; nothing else may."""
    if run.flow_l_s is None or run.capacity_l_s is None or run.capacity_l_s >= run.flow_l_s:
        yield from _harms(run, eaves, system=system)
        return
    yield Finding(
        f"{run.governing}-below-storm",
        "watch" if run.gutter.spills_on == "clear ground" else "fix",
        _where(run),
        run_says(run, eaves, system=system),
        measured=run.flow_l_s,
        limit=run.capacity_l_s,
        unit="L/s",
        source=basis_of(run.governing, eaves.method),
        fix=_ways(run, eaves, system=system),
        changes=_first_way(run, eaves, system=system),
    )


def _harms(run: EaveRun, eaves: Eaves, *, system: Show) -> Iterator[Finding]:
    """Over a door or at a footing even a rare storm must stay in the gutter."""
    if run.harm_mm_h is None or run.spill_mm_h is None or run.spill_mm_h >= run.harm_mm_h:
        return
    years = table("eave_figures")["harm years"]
    rain = show(run.spill_mm_h, "intensity", system=system)
    yield Finding(
        "spills-where-it-harms",
        "watch",
        _where(run),
        f"It spills from {rain} on, over a {run.gutter.spills_on}: there it should hold the "
        f"{eaves.minutes:g}-minute rain of {years.value:g} years.",
        measured=run.spill_mm_h,
        limit=run.harm_mm_h,
        unit="mm/h",
        source=f"{sources()[years.source]['title']}: {years.place}",
        fix=_ways(run, eaves, system=system),
        changes=_first_way(run, eaves, system=system),
    )


def _ways(run: EaveRun, eaves: Eaves, *, system: Show) -> str:
    """Changes with which the run holds the design storm, and the rare one where that harms."""
    ways = _all_ways(run, eaves, system=system)
    words = [run_changed(run.gutter, way, system=system) for way in ways]
    return ", or ".join(words) or "split the roof between more runs"


def _first_way(run: EaveRun, eaves: Eaves, *, system: Show) -> tuple[Change, ...]:
    return tuple(
        change
        for way in _all_ways(run, eaves, system=system)[:1]
        for change in gutter_changes(run, way, system=system)
    )


def _all_ways(run: EaveRun, eaves: Eaves, *, system: Show) -> tuple[Gutter, ...]:
    asked_mm_h = max(eaves.rain.mm_h if eaves.rain else 0.0, run.harm_mm_h or 0.0)
    asked_l_s = roof_flow_l_s(run.area_m2, asked_mm_h)
    return changes(run.gutter, flow_l_s=asked_l_s, method=eaves.method, system=system)


def _too_long(run: EaveRun, system: Show) -> Iterator[Finding]:
    most = table("eave_figures")["run per downspout"]
    most_m, length_m = most.value * _M_PER_FT, section_length_m(run.gutter)
    if length_m <= most_m + 1e-9:
        return
    yield Finding(
        "gutter-run-too-long",
        "watch",
        _where(run),
        "One downspout drains more of the run than practice allows.",
        measured=length_m,
        limit=most_m,
        unit="m",
        source=sources()[most.source]["title"],
        fix=run_changed(run.gutter, way := spouts_for_length(run.gutter, most_m), system=system),
        changes=gutter_changes(run, way, system=system),
    )


def _too_small(run: EaveRun, eaves: Eaves, *, system: Show) -> Iterator[Finding]:
    """Leaves choke a small downspout whatever the flow; the rule is sheet-metal practice."""
    spout, least = run.gutter.downspout, table("eave_figures")["least downspout"]
    known = {part.name for part in run.parts if part.capacity_l_s is not None}
    if eaves.method.leader != "sheet metal" or spout is None or "downspout" not in known:
        return
    least_mm2 = least.value * _MM2_PER_IN2
    if area_mm2(spout) >= least_mm2:
        return
    way = least_downspout(run.gutter, least_mm2, system=system)
    yield Finding(
        "downspout-too-small",
        "watch",
        _where(run),
        f"A downspout of {spout_words(spout, system)} clogs easily; the least is "
        f"{least.value:g} in2, porches apart.",
        measured=area_mm2(spout) / _MM2_PER_CM2,
        limit=least_mm2 / _MM2_PER_CM2,
        unit="cm2",
        source=f"{sources()[least.source]['title']}: {least.place}",
        fix=run_changed(run.gutter, way, system=system) if way else "",
        changes=gutter_changes(run, way, system=system) if way else (),
    )


def _adapter(run: EaveRun, system: Show) -> Iterator[Finding]:
    spout = run.gutter.downspout
    if spout is None or spout.into_mm is None or spout.bore_mm is not None:
        return
    if spout.width_mm is not None and spout.depth_mm is not None:
        part = f"adapter {spout_words(spout, system)} to {pipe_words(spout.into_mm, system)} round"
        count = f"{run.gutter.spouts} x " if run.gutter.spouts > 1 else ""
        yield Finding(
            "adapter-needed",
            "note",
            _where(run),
            f"A rectangular downspout runs into a round pipe: {count}{part} belongs to the parts.",
        )


def _unknown(run: EaveRun) -> Iterator[Finding]:
    missing = [part.unknown.rstrip(".") for part in run.parts if part.unknown]
    if run.gutter.spills_on == "unknown":
        missing.append("what stands below where it would spill is unknown")
    if missing:
        yield Finding(
            "gutter-not-checked", "note", _where(run), f"Not checked: {'; '.join(missing)}."
        )


def _screened(screen: ScreenFlow, *, guttered: bool, system: Show) -> Iterator[Finding]:
    where, clogged = f"screen {screen.screen!r} of roof {screen.roof!r}", table("eave_figures")
    if screen.half_l_s is None:
        if guttered:
            yield Finding(
                "screen-not-checked", "note", where, "Not checked: what it passes clean unknown."
            )
        return
    if screen.flow_l_s is None or screen.half_l_s >= screen.flow_l_s:
        return
    clean_l_s = screen.flow_l_s / (1.0 - clogged["clogged"].value)
    passes = no_less(clean_l_s, "flow", system=system)
    yield Finding(
        "screen-below-storm",
        "fix",
        where,
        "Half clogged with leaves it passes less than the design storm: the rest runs over it.",
        measured=screen.flow_l_s,
        limit=screen.half_l_s,
        unit="L/s",
        source=COMMON,
        fix=f"a screen that passes {passes} when clean",
        changes=((("roof", screen.roof, "screens", screen.screen, "passes"), passes),),
    )


def _where(run: EaveRun) -> str:
    return f"gutter {run.gutter.name!r} of roof {run.roof!r}"
