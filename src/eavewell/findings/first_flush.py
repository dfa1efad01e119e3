"""Whether a first flush fits, empties between the rains, and takes no more than it should."""

from collections.abc import Iterator

from eavewell.findings.rounding import no_less, no_more
from eavewell.hydraulics.first_flush_pipe import FlushPipe, lengths_by_size
from eavewell.hydraulics.standard_sizes import FAMILIES
from eavewell.site.finding import COMMON, Change, Finding
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.tables import table
from eavewell.units import show

ARITHMETIC = "arithmetic of the site file"
_HOURS_PER_DAY = 24.0


def flush_works(site: Site, pipe: FlushPipe) -> Iterator[Finding]:
    """Checks on the first flush of one roof."""
    system = site.place.show
    yield from _tall(site, pipe)
    if pipe.flush.drain_l_h is None and pipe.flush.bleed_l_h == 0.0:
        says = "Not checked: whether it empties in time: flow of its drain unknown."
        yield Finding("flush-drain-unknown", "note", _where(pipe), says)
    elif pipe.empties_h is None:
        yield _shut(pipe, system)
    else:
        yield from _slow(pipe, pipe.empties_h, system=system)
        yield from _reset(pipe, pipe.empties_h)
    yield from _clogs(pipe, system)
    yield from _takes(pipe, system)


def _tall(site: Site, pipe: FlushPipe) -> Iterator[Finding]:
    eave_m = next(roof.eave_m for roof in site.roofs if roof.name == pipe.roof)
    if pipe.length_m is None:
        return
    if eave_m is None or site.ground.level_m is None:
        long = show(pipe.length_m, "length", system=site.place.show)
        says = (
            f"Not checked: whether its standpipe of {long} fits: level of eave or ground unknown."
        )
        yield Finding("flush-height-unknown", "note", _where(pipe), says)
        return
    room_m, system = eave_m - site.ground.level_m, site.place.show
    if pipe.length_m <= room_m:
        return
    wider = next(
        (
            f"{size} standpipe, {no_less(long_m, 'length', system=system)} long"
            for size, long_m in lengths_by_size(pipe.volume_l, FAMILIES[system])
            if long_m <= room_m
        ),
        "a box on the ground in place of a standpipe",
    )
    yield Finding(
        "flush-too-tall",
        "fix",
        _where(pipe),
        f"For {show(pipe.volume_l, 'volume', system=system)} its standpipe is longer than the "
        "wall below the gutter.",
        measured=pipe.length_m,
        limit=room_m,
        unit="m",
        source=ARITHMETIC,
        fix=wider,
    )


def _shut(pipe: FlushPipe, system: Show) -> Finding:
    if pipe.gap_days:
        least = no_less(pipe.volume_l / (pipe.gap_days * _HOURS_PER_DAY), "bleed", system=system)
        fix, changes = f"a drain of {least}", _says(pipe, "drain", value=least)
    else:
        fix, changes = "a drain that empties it between the rains", ()
    return Finding(
        "flush-never-empties",
        "fix",
        _where(pipe),
        "It has no drain: emptied by hand after each rain or it takes the first rain only.",
        measured=0.0,
        unit="L/h",
        source=COMMON,
        fix=fix,
        changes=changes,
    )


def _slow(pipe: FlushPipe, empties_h: float, *, system: Show) -> Iterator[Finding]:
    if pipe.gap_days is None or empties_h <= pipe.gap_days * _HOURS_PER_DAY:
        return
    least_l_h = pipe.volume_l / (pipe.gap_days * _HOURS_PER_DAY)
    yield Finding(
        "flush-empties-slowly",
        "fix",
        _where(pipe),
        "It is still part full when the next rain usually comes, whose dirt goes to the tank.",
        measured=empties_h / _HOURS_PER_DAY,
        limit=pipe.gap_days,
        unit="days",
        source="usual dry gap of the record",
        fix=f"a drain of {(least := no_less(least_l_h, 'bleed', system=system))}",
        changes=_says(pipe, "drain", value=least),
    )


def _reset(pipe: FlushPipe, empties_h: float) -> Iterator[Finding]:
    """The daily balance uses the days that the site file states."""
    days = empties_h / _HOURS_PER_DAY
    if days <= pipe.flush.reset_dry_days:
        return
    yield Finding(
        "flush-reset-differs",
        "fix",
        _where(pipe),
        f"It is said to be empty after {pipe.flush.reset_dry_days} dry days; by its drain it "
        "takes longer, and the water it loses is reckoned too high.",
        measured=days,
        limit=float(pipe.flush.reset_dry_days),
        unit="days",
        source=ARITHMETIC,
        fix=f"state its reset as {(whole := -int(-days // 1))} days",
        changes=_says(pipe, "reset", value=f"{whole} days"),
    )


def _clogs(pipe: FlushPipe, system: Show) -> Iterator[Finding]:
    least_mm = table("conveyance")["least hole"].value
    if pipe.hole_mm is None or pipe.empties_h is None or pipe.hole_mm >= least_mm:
        return
    quick_h = pipe.empties_h * (pipe.hole_mm / least_mm) ** 2
    yield Finding(
        "flush-drain-clogs",
        "watch",
        _where(pipe),
        "A hole that drains so slowly is small and soon stopped with grit; a stopped first flush "
        "sends every rain's dirt to the tank.",
        measured=pipe.hole_mm,
        limit=least_mm,
        unit="mm",
        source=COMMON,
        fix=f"a drain of {no_less(pipe.volume_l / quick_h, 'bleed', system=system)}, a mesh before "
        "its hole, and a cap at the foot to clean it by",
    )


def _takes(pipe: FlushPipe, system: Show) -> Iterator[Finding]:
    most = table("conveyance")["flush loss"].value
    if pipe.loss is None or pipe.loss.share <= most:
        return
    lost = show(pipe.loss.lost_l_year, "volume", system=system)
    less = no_more(pipe.loss.most_mm, "depth", system=system)
    litres = pipe.volume_l * pipe.loss.most_mm / pipe.depth_mm
    yield Finding(
        "flush-takes-much",
        "watch",
        _where(pipe),
        f"It leads away {lost} in a mean year, a large part of what the roof brings.",
        measured=pipe.loss.share,
        limit=most,
        unit="share",
        source=COMMON,
        fix=f"{less} ({no_more(litres, 'volume', system=system)}) or less, or a longer reset",
    )


def _says(pipe: FlushPipe, field: str, *, value: str) -> tuple[Change, ...]:
    return ((("roof", pipe.roof, "first_flush", field), value),)


def _where(pipe: FlushPipe) -> str:
    return f"first flush of roof {pipe.roof!r}"
