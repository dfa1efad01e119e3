"""Whether the pipes from the downspouts bring the storm to the store."""

from collections.abc import Iterator

from eavewell.findings.first_flush import flush_works
from eavewell.findings.rounding import no_less, no_more
from eavewell.findings.wet_pipe import main_works
from eavewell.hydraulics.conveyance import Conveyed, DryPipe
from eavewell.hydraulics.levels import overflow_level_m
from eavewell.hydraulics.pipe_changes import (
    clean_m_s,
    fall_to_carry,
    fall_to_clean,
    least_fall,
    next_dry_size,
)
from eavewell.hydraulics.roof_area import roof_flow_l_s
from eavewell.site.finding import Change, Finding
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.tables import sources, table
from eavewell.units import show

ARITHMETIC = "arithmetic of the site file"
MANNING = "Manning, full pipe"
# Steeper than this no pipe is laid.
MOST_FALL = 0.5


def pipes_carry(site: Site, conveyed: Conveyed) -> Iterator[Finding]:
    """Checks on the collection pipes: dry pipes, wet mains, first flush."""
    yield from _unsound(conveyed)
    if conveyed.intensity_mm_h is None and (conveyed.dry or conveyed.mains):
        says = "Not checked: pipes under a storm: rain of the design storm unknown."
        yield Finding("pipe-storm-unknown", "note", "pipes", says)
    for pipe in conveyed.dry:
        yield from _dry(site, conveyed, pipe=pipe)
    for main in conveyed.mains:
        yield from main_works(site, conveyed, main=main)
    for flush in conveyed.flushes:
        yield from flush_works(site, flush)


def _unsound(conveyed: Conveyed) -> Iterator[Finding]:
    for run in conveyed.tree.unsound:
        where = f"pipe {run.name!r}"
        if run.pipe.length_m <= 0.0:
            yield Finding(
                "pipe-without-length",
                "stop",
                where,
                "A pipe of no length carries nothing anywhere; nothing of it is checked.",
                measured=run.pipe.length_m,
                limit=0.0,
                unit="m",
                source=ARITHMETIC,
                fix="give its length along the pipe",
            )
        else:
            yield Finding(
                "pipes-in-a-circle",
                "stop",
                where,
                "Its water comes back to it and reaches no store; nothing of it is checked.",
                source=ARITHMETIC,
                fix="let one of the pipes enter a store",
            )


def _dry(site: Site, conveyed: Conveyed, *, pipe: DryPipe) -> Iterator[Finding]:
    system = site.place.show
    yield from _contradicts(pipe, system)
    yield from _above_gutter(conveyed, pipe, system=system)
    yield from _ends_low(conveyed, pipe, system=system)
    if pipe.fall is None:
        says = "Not checked: its fall, or the levels of its two ends, unknown."
        yield Finding("pipe-fall-unknown", "note", _where(pipe), says)
    elif pipe.fall <= 0.0:
        yield _rises(pipe, pipe.fall, system=system)
    elif pipe.holds is False:
        yield _small(conveyed, pipe, system=system)
    elif pipe.fall < least_fall() * (1.0 - 1e-9):
        yield _flat(pipe, pipe.fall, system=system)
    else:
        yield from _slow(pipe, system)


def _contradicts(pipe: DryPipe, system: Show) -> Iterator[Finding]:
    run = pipe.run
    if run.fall is None or run.from_m is None or pipe.end_m is None:
        return
    drop_m, near_m = run.from_m - pipe.end_m, table("conveyance")["level difference"].value
    if abs(run.fall * run.pipe.length_m - drop_m) <= near_m:
        return
    by_levels = drop_m / run.pipe.length_m
    yield Finding(
        "pipe-levels-contradict",
        "fix",
        _where(pipe),
        f"Its stated fall and its levels differ: {show(run.fall, 'fall', system=system)} stated, "
        f"{show(by_levels, 'fall', system=system)} by its levels.",
        measured=run.fall * run.pipe.length_m,
        limit=drop_m,
        unit="m",
        source=ARITHMETIC,
        fix="leave the fall out, so that the levels give it, or correct the levels",
    )


def _above_gutter(conveyed: Conveyed, pipe: DryPipe, *, system: Show) -> Iterator[Finding]:
    eaves = [roof.eave_m for roof in conveyed.tree.own[pipe.run.name] if roof.eave_m is not None]
    start_m = pipe.run.from_m
    if start_m is None or not eaves or start_m <= min(eaves):
        return
    lower = no_less(start_m - min(eaves), "length", system=system)
    yield Finding(
        "pipe-starts-above-gutter",
        "stop",
        _where(pipe),
        "It starts above the gutter outlet that should run into it.",
        measured=start_m,
        limit=min(eaves),
        unit="m",
        source=ARITHMETIC,
        fix=f"start it {lower} lower",
        changes=_says(pipe, "start", value=no_more(min(eaves), "level", system=system)),
    )


def _ends_low(conveyed: Conveyed, pipe: DryPipe, *, system: Show) -> Iterator[Finding]:
    """A dry pipe that a full tank, or the pipe it joins, keeps from emptying."""
    tank, below = conveyed.tree.tank(pipe.run), conveyed.tree.below(pipe.run)
    level_m = overflow_level_m(tank) if tank is not None else None
    if below is not None and not below.held_full:
        level_m = below.from_m
    if level_m is None or pipe.end_m is None or pipe.end_m >= level_m:
        return
    eaves = [r.eave_m for r in conveyed.tree.own[pipe.run.name] if r.eave_m is not None]
    spills = bool(eaves) and level_m >= min(eaves)
    if tank is not None and tank.is_sump and not spills:
        return  # the pump keeps a sump low: it stands at its spillway in a cloudburst only
    yield Finding(
        "pipe-backs-up",
        "stop" if spills or tank is None else "watch",
        _where(pipe),
        "It lets go below the "
        + (f"overflow of {tank.name!r}: a full tank" if tank else "start of the pipe it joins: it")
        + (" spills at the gutter." if spills else " stands in this pipe, which should drain."),
        measured=pipe.end_m,
        limit=level_m,
        unit="m",
        source=ARITHMETIC,
        fix=f"let it go {no_less(level_m - pipe.end_m, 'length', system=system)} higher"
        + (", or lay it as a pipe that is held full" if tank else ""),
        changes=_says(pipe, "end", value=no_less(level_m, "level", system=system))
        if pipe.run.to_m is not None
        else (),
    )


def _rises(pipe: DryPipe, fall: float, *, system: Show) -> Finding:
    carries = fall_to_carry(pipe) if pipe.flow_l_s else 0.0
    needed = carries if least_fall() < carries <= MOST_FALL else least_fall()
    return Finding(
        "pipe-rises" if fall < 0.0 else "pipe-level",
        "stop" if fall < 0.0 else "fix",
        _where(pipe),
        f"A dry pipe that {'rises' if fall < 0.0 else 'lies level'} holds water and grit, and ice "
        "in frost.",
        measured=fall * pipe.run.pipe.length_m,
        limit=needed * pipe.run.pipe.length_m,
        unit="m",
        source=_title("least fall"),
        fix=_fall_words(pipe, needed, system=system),
    )


def _small(conveyed: Conveyed, pipe: DryPipe, *, system: Show) -> Finding:
    size, _ = next_dry_size(pipe, system=system)
    fall, ways = fall_to_carry(pipe), []
    if size:
        ways.append(f"a {size} pipe")
    if (pipe.fall or 0.0) < fall <= MOST_FALL:
        ways.append(_fall_words(pipe, fall, system=system))
    fails = show(pipe.fails_mm_h or 0.0, "intensity", system=system)
    return Finding(
        "pipe-too-small",
        "fix",
        _where(pipe),
        f"It carries less than the {conveyed.minutes:g}-minute rain of {conveyed.years:g} years: "
        f"it runs over from {fails} on.",
        measured=pipe.flow_l_s,
        limit=pipe.capacity_l_s,
        unit="L/s",
        source=f"{MANNING}; {_title('least speed')}",
        fix=" or ".join(ways) or "more pipes side by side",
        changes=(*_says(pipe, "size", value=size), *_says(pipe, "bore", value=None))
        if size
        else (),
    )


def _flat(pipe: DryPipe, fall: float, *, system: Show) -> Finding:
    return Finding(
        "pipe-too-flat",
        "fix",
        _where(pipe),
        "Laid so flat, it settles into pools that hold grit.",
        measured=fall * pipe.run.pipe.length_m,
        limit=least_fall() * pipe.run.pipe.length_m,
        unit="m",
        source=_title("least fall"),
        fix=_fall_words(pipe, least_fall(), system=system),
    )


def _slow(pipe: DryPipe, system: Show) -> Iterator[Finding]:
    common_mm_h = table("conveyance")["common storm"].value
    at_common_l_s = roof_flow_l_s(pipe.area_m2, common_mm_h)
    least = clean_m_s() * (1.0 - 1e-9)
    at_design = pipe.speed_m_s is not None and pipe.speed_m_s < least
    if not at_design and (pipe.common_m_s is None or pipe.common_m_s >= least):
        return
    # The lesser of the two flows is the harder to keep clean.
    flow_l_s = min(at_common_l_s, pipe.flow_l_s or at_common_l_s)
    fall = fall_to_clean(pipe, flow_l_s)
    storm = f"a common storm ({show(common_mm_h, 'intensity', system=system)})"
    yield Finding(
        "pipe-too-slow",
        "fix" if at_design else "watch",
        _where(pipe),
        f"At {'the design storm' if at_design else storm} its water runs too slowly to carry "
        "grit along.",
        measured=pipe.speed_m_s if at_design else pipe.common_m_s,
        limit=clean_m_s(),
        unit="m/s",
        source=_title("least speed"),
        fix=_fall_words(pipe, fall, system=system)
        if fall is not None
        else "an opening at its upper end, so that it can be flushed",
    )


def _fall_words(pipe: DryPipe, fall: float, *, system: Show) -> str:
    """A fall, and how much lower the end must lie, or the start higher."""
    shown = no_less(fall, "fall", system=system)
    if pipe.fall is None:
        return f"a fall of {shown}"
    more_m = (fall - pipe.fall) * pipe.run.pipe.length_m
    return f"a fall of {shown}: its end {no_less(more_m, 'length', system=system)} lower"


def _of_size(pipe: DryPipe, size: str) -> tuple[Change, ...]:
    return (*_says(pipe, "size", value=size), *_says(pipe, "bore", value=None))


def _says(pipe: DryPipe, field: str, *, value: str | None) -> tuple[Change, ...]:
    return ((("pipe", pipe.run.name, field), value),)


def _title(row: str) -> str:
    entry = table("conveyance")[row]
    return f"{sources()[entry.source]['title']}: {entry.place}"


def _where(pipe: DryPipe) -> str:
    return f"pipe {pipe.run.name!r}"
