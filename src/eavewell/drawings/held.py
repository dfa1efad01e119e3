"""Reserves and ration stages, each with the valve, float or outlet that holds it."""

from collections.abc import Iterator
from dataclasses import dataclass

from eavewell.hydraulics.levels import outlet_level_m
from eavewell.site.line import Line
from eavewell.site.place import Show
from eavewell.site.reserve import HeldBy, Reserve
from eavewell.site.site import Site
from eavewell.site.use import Use
from eavewell.tables import texts
from eavewell.units import show

WORDS = texts.words("sheets")
_BY = {
    "outlet height": WORDS.say("held.by.outlet_height"),
    "float": WORDS.say("held.by.float"),
    "timer": WORDS.say("held.by.timer"),
    "valve": WORDS.say("held.by.valve"),
    "agreement": WORDS.say("held.by.agreement"),
    "unknown": WORDS.say("held.by.unknown"),
}


@dataclass(frozen=True, slots=True)
class Held:
    """Water that is held back.

    words  : what, how much and by what. by : as the site file says.
    lines  : lines whose outlet valve holds it, or could where only people agree on it.
    floats : kind and name of the tags of floats that hold it.
    """

    words: str
    by: HeldBy
    lines: tuple[str, ...] = ()
    floats: tuple[tuple[str, str], ...] = ()

    @property
    def by_nothing(self) -> bool:
        """Whether no part of the pipework stops the draw."""
        return self.by in ("agreement", "unknown")


def held(site: Site) -> tuple[Held, ...]:
    """Every reserve and ration stage of a site."""
    return (*_fire(site), *(one for use in site.uses for one in _of_use(site, use)))


def lines_of(site: Site, use: Use) -> tuple[Line, ...]:
    """Lines that bring water to a use: those that name it, else those of its tanks."""
    drawn = [line for line in site.lines if line.source in use.draws_from]
    named = [line for line in drawn if use.name in _names(line)]
    return tuple(named or (line for line in drawn if not _names(line)))


def _names(line: Line) -> set[str]:
    watered = {lateral.waters for lateral in line.laterals}
    watered |= {trough.waters for trough in line.troughs}
    return {*line.serves, *(watered - {""})}


def _fire(site: Site) -> Iterator[Held]:
    """The lines of a tank leave a fire reserve below them where its outlet height holds it."""
    for tank in site.tanks:
        reserve = tank.fire_reserve
        if reserve is None:
            continue
        lines = [line for line in site.lines if line.source == tank.name]
        if reserve.held_by == "outlet height":
            low = outlet_level_m(tank)
            lines = [line for line in lines if _above(line, low)]
        what = WORDS.say("held.fire.fire_reserve", name=tank.name)
        yield Held(
            _words(what, reserve, system=site.place.show),
            reserve.held_by,
            tuple(line.name for line in lines),
        )


def _above(line: Line, low_m: float | None) -> bool:
    return line.level_m is not None and low_m is not None and line.level_m > low_m


def _of_use(site: Site, use: Use) -> Iterator[Held]:
    system = site.place.show
    lines = lines_of(site, use)
    kept = (
        [(WORDS.say("held.of_use.reserve_against", name=use.name), use.reserve)]
        if use.reserve
        else []
    )
    kept += [
        (
            WORDS.say(
                "held.of_use.cut_below",
                name=use.name,
                share=show(stage.share, "share", system=system),
            ),
            stage.below,
        )
        for stage in use.stages
    ]
    for what, reserve in kept:
        by_float = reserve.held_by == "float"
        yield Held(
            _words(what, reserve, system=system),
            reserve.held_by,
            () if by_float else tuple(line.name for line in lines),
            _floats(site, use, lines=lines) if by_float else (),
        )


def _floats(site: Site, use: Use, *, lines: tuple[Line, ...]) -> tuple[tuple[str, str], ...]:
    """The float valves of its troughs; else the floats of the lifts that fill its tanks."""
    valves = [
        ("float valve", trough.name)
        for line in lines
        for trough in line.troughs
        if trough.waters in (use.name, "")
    ]
    lifts = [("floats", lift.name) for lift in site.lifts if lift.target in use.draws_from]
    return tuple(valves or lifts)


def _words(what: str, reserve: Reserve, *, system: Show) -> str:
    if reserve.volume_l is not None:
        amount = show(reserve.volume_l, "volume", system=system)
    else:
        amount = WORDS.say(
            "held.words.usable_volume", share=show(reserve.share or 0.0, "share", system=system)
        )
    return f"{what} {amount}, {_BY[reserve.held_by]}"
