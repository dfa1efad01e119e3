"""Whether a pipe that is held full has head, can be emptied, breathes and does not freeze."""

from collections.abc import Iterator

from eavewell.findings.rounding import no_less
from eavewell.hydraulics.conveyance import Conveyed
from eavewell.hydraulics.pipe_changes import MainChange, main_change, short_of_margin
from eavewell.hydraulics.standard_sizes import FAMILIES, next_bore_mm, next_pipe
from eavewell.hydraulics.wet_main import WetMain, WetPipe
from eavewell.site.finding import COMMON, Change, Finding
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.tables import table
from eavewell.units import show

LOSS = "Hazen-Williams, fittings and exit; margin: common practice, no source"


def main_works(site: Site, conveyed: Conveyed, *, main: WetMain) -> Iterator[Finding]:
    """Checks on one main with its branches."""
    system = site.place.show
    yield from _head(conveyed, main, system=system)
    yield from _stale(main, system)
    yield from _drain(site, main)
    yield from _narrow_drain(main, system)
    yield from _vents(main)
    yield from _screens(conveyed, main)
    for pipe in main.pipes:
        yield from _frost(site, conveyed, pipe=pipe)
    if missing := list(_missing(site, conveyed, main=main)):
        says = f"Not checked: {'; '.join(missing)} unknown."
        yield Finding("wet-pipe-unknowns", "note", _where(main), says)


def _head(conveyed: Conveyed, main: WetMain, *, system: Show) -> Iterator[Finding]:
    margin_m = table("conveyance")["head margin"].value
    rain_mm_h, spare_m = conveyed.intensity_mm_h, main.spare_m
    if rain_mm_h is None or spare_m is None or not short_of_margin(main):
        return
    change = main_change(
        conveyed.tree,
        main,
        intensity_mm_h=rain_mm_h,
        over_m=conveyed.over_m.get(main.pipes[0].run.to),
        system=system,
    )
    yield Finding(
        "wet-pipe-head",
        "watch" if spare_m >= 0.0 else "fix" if main.spills_mm_h else "stop",
        _where(main),
        _head_says(conveyed, main, system=system),
        measured=spare_m,
        limit=margin_m,
        unit="m",
        source=LOSS,
        fix=_change_words(change, system),
        changes=_wider(main, change),
    )


def _head_says(conveyed: Conveyed, main: WetMain, *, system: Show) -> str:
    storm = f"{conveyed.minutes:g}-minute rain of {conveyed.years:g} years"
    if not main.spills_mm_h:
        return (
            f"The opening of {main.first!r} stands no higher than the tank's water: it spills in "
            "any rain once the tank is full."
        )
    rain = show(main.spills_mm_h, "intensity", system=system)
    if (main.spare_m or 0.0) < 0.0:
        return f"It does not pass the {storm}: {main.first!r} spills first, from {rain} on."
    return (
        f"It passes the {storm} with little in hand: {main.first!r} spills first, from {rain} on."
    )


def _change_words(change: MainChange, system: Show) -> str:
    ways = [f"{change.size} pipe throughout"] if change.size else []
    if change.lower_m is not None:
        ways.append(f"let it go {no_less(change.lower_m, 'length', system=system)} lower")
    ways.append(
        "raise the lowest opening: "
        + ", ".join(
            f"{name!r} by {no_less(lacks_m, 'length', system=system)}"
            for name, lacks_m in change.raises_m
        )
    )
    return ", or ".join(ways)


def _wider(main: WetMain, change: MainChange) -> tuple[Change, ...]:
    """One size for every pipe of the main; nothing where no size sold passes it."""
    ways = [("pipe", pipe.run.name) for pipe in main.pipes] if change.size else []
    return tuple(
        one for way in ways for one in (((*way, "size"), change.size), ((*way, "bore"), None))
    )


def _stale(main: WetMain, system: Show) -> Iterator[Finding]:
    """Each small storm pushes the last storm's water into the tank."""
    share, most = main.stale_share, table("conveyance")["stale share"].value
    if share is None or share <= most or _drain_mm(main):
        return
    stands, brings = (
        show(litres, "volume", system=system) for litres in (main.stale_l, main.small_storm_l)
    )
    yield Finding(
        "wet-pipe-stale",
        "watch",
        _where(main),
        f"{stands} stand in it between storms, against {brings} that a small storm brings: old "
        "water is pushed into the tank.",
        measured=share,
        limit=most,
        unit="share",
        source=COMMON,
        fix="a drain at its lowest point, opened after each storm or left to drip",
    )


def _drain(site: Site, main: WetMain) -> Iterator[Finding]:
    drain_mm, low_m, ground_m = _drain_mm(main), _low_m(main), site.ground.level_m
    if drain_mm == 0.0:
        yield Finding(
            "wet-pipe-no-drain",
            "fix",
            _where(main),
            "Grit settles at its lowest point and nothing empties it before frost or for cleaning.",
            measured=0.0,
            unit="mm",
            source=COMMON,
            fix=f"a drain at its lowest point as wide as the pipe "
            f"({show(main.pipes[0].run.pipe.bore_mm, 'bore', system=site.place.show)}), capped",
        )
    elif drain_mm and low_m is not None and ground_m is not None and low_m < ground_m:
        system = site.place.show
        deep = show(ground_m - low_m, "length", system=system)
        lower = no_less(ground_m - low_m, "length", system=system)
        yield Finding(
            "wet-drain-below-ground",
            "watch",
            _where(main),
            f"Its drain lies {deep} below the ground at the tank: water does not leave by itself.",
            measured=low_m,
            limit=ground_m,
            unit="m",
            source=COMMON,
            fix=f"lead the drain to ground {lower} lower, or bring a cleanable riser up in a box "
            "and pump it out",
        )


def _narrow_drain(main: WetMain, system: Show) -> Iterator[Finding]:
    drain_mm, least_mm = _drain_mm(main), table("conveyance")["least drain"].value
    if not drain_mm or drain_mm >= least_mm:
        return
    size = next_pipe(least_mm, FAMILIES[system])
    bore = no_less(next_bore_mm(least_mm, FAMILIES[system]) or least_mm, "bore", system=system)
    widest = max((pipe.run for pipe in main.pipes), key=lambda run: run.drain_mm or 0.0)
    yield Finding(
        "wet-drain-narrow",
        "watch",
        _where(main),
        "Its drain lets water out but not the leaves and grit that settle before it.",
        measured=drain_mm,
        limit=least_mm,
        unit="mm",
        source=COMMON,
        fix=f"a {size} drain with a cap that comes off",
        changes=((("pipe", widest.name, "drain"), bore),),
    )


def _vents(main: WetMain) -> Iterator[Finding]:
    closed = [pipe.run.name for pipe in main.pipes if pipe.run.vented is False]
    if closed:
        yield Finding(
            "wet-pipe-no-vent",
            "watch",
            _where(main),
            f"Air caught at the high points of {_names(closed)} takes the place of water.",
            source=COMMON,
            fix="an open standpipe at each high point, to above the lowest opening",
        )


def _screens(conveyed: Conveyed, main: WetMain) -> Iterator[Finding]:
    roofs = {
        roof.name
        for pipe in main.pipes
        for run in conveyed.tree.all_above(pipe.run)
        for roof in conveyed.tree.own[run.name]
        if not roof.screens
    }
    if roofs:
        yield Finding(
            "wet-pipe-unscreened",
            "watch",
            _where(main),
            f"No screen is described on {_names(sorted(roofs))}: leaves and grit settle in a pipe "
            "that stands full.",
            source=COMMON,
            fix="a screen on each of these roofs before the pipe goes down",
        )


def _frost(site: Site, conveyed: Conveyed, *, pipe: WetPipe) -> Iterator[Finding]:
    cover_m, frost_m = pipe.run.cover_m, site.ground.frost_m
    if not _may_freeze(site, conveyed, pipe=pipe) or cover_m is None:
        return
    if site.ground.coldest_c is None or (cover_m > 0.0 and (frost_m is None or cover_m >= frost_m)):
        return
    system = site.place.show
    deep = f"lay it {no_less(frost_m, 'length', system=system)} deep, or " if frost_m else ""
    yield Finding(
        "wet-pipe-freezes",
        "fix",
        f"pipe {pipe.run.name!r}",
        f"It stands full {'in the open' if cover_m == 0.0 else 'above the depth of the frost'} "
        f"where winter reaches {show(site.ground.coldest_c, 'temperature', system=system)}.",
        measured=cover_m,
        limit=frost_m,
        unit="m",
        source=COMMON,
        fix=f"{deep}drain it at its lowest point and mark its roofs drained in the frost months",
    )


def _may_freeze(site: Site, conveyed: Conveyed, *, pipe: WetPipe) -> bool:
    coldest_c = site.ground.coldest_c
    roofs = [r for run in conveyed.tree.all_above(pipe.run) for r in conveyed.tree.own[run.name]]
    drained = roofs and all(roof.snow and roof.snow.drained_months for roof in roofs)
    return not ((coldest_c is not None and coldest_c >= 0.0) or (drained and pipe.run.drain_mm))


def _missing(site: Site, conveyed: Conveyed, *, main: WetMain) -> Iterator[str]:
    if main.outlet_m is None:
        yield "level where it lets go, or of the tank's overflow"
    closed = [p.run.name for p in main.pipes if p.opens and p.opening_m is None]
    if closed:
        yield f"lowest opening of {_names(closed)}"
    if _drain_mm(main) is None:
        yield "drain at its lowest point"
    if any(pipe.run.vented is None for pipe in main.pipes):
        yield "vents at its high points"
    yield from _missing_of_frost(site, conveyed, main=main)


def _missing_of_frost(site: Site, conveyed: Conveyed, *, main: WetMain) -> Iterator[str]:
    covers = [p.run.cover_m for p in main.pipes if _may_freeze(site, conveyed, pipe=p)]
    if not covers:
        return
    if site.ground.coldest_c is None and (None in covers or 0.0 in covers):
        yield "coldest day of winter"
    elif None in covers:
        yield "soil cover"
    elif site.ground.frost_m is None and any(covers):
        yield "depth of frost"


def _drain_mm(main: WetMain) -> float | None:
    """Largest drain of a main; 0 where it has none, None where one might be."""
    bores = [pipe.run.drain_mm for pipe in main.pipes]
    known = max((bore for bore in bores if bore is not None), default=None)
    return known if known or None not in bores else None


def _low_m(main: WetMain) -> float | None:
    return min((p.run.low_m for p in main.pipes if p.run.low_m is not None), default=None)


def _names(names: list[str]) -> str:
    return ", ".join(repr(name) for name in names)


def _where(main: WetMain) -> str:
    return f"pipe {main.name!r}"
