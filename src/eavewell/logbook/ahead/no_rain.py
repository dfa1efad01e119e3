"""How long the water lasts if it does not rain at all."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from eavewell.logbook.ahead.supply import Supply, cut
from eavewell.storage.stick import Draw, days_between, rationless

HALF = 0.5


@dataclass(frozen=True, slots=True)
class Brought:
    """Water that comes some days from now, by a stated rain or a load."""

    in_days: int
    volume_l: float


@dataclass(frozen=True, slots=True)
class NoRain:
    """Days until the use that is served first finds nothing; None: nothing draws it down so far.

    rationed_days : with the ration stages kept to; plain_days : without.
    """

    rationed_days: float | None
    plain_days: float | None


@dataclass(frozen=True, slots=True)
class Cut:
    """What is gained where one use is cut; None for the first use, for which the water is kept."""

    use: str
    l_day: float
    without_days: float | None
    half_days: float | None


def no_rain(one: Supply, held_l: float, *, brought: Sequence[Brought] = ()) -> NoRain:
    """Days from this level to where the first use stops, with no rain but what is stated."""
    return NoRain(
        _days(one.draws, one, held_l=held_l, brought=brought),
        _days(rationless(one.draws), one, held_l=held_l, brought=brought),
    )


def cuts(one: Supply, held_l: float, *, brought: Sequence[Brought] = ()) -> tuple[Cut, ...]:
    """Days gained with no rain by cutting each use wholly or by half, rations kept to."""
    whole = no_rain(one, held_l, brought=brought).rationed_days
    found = []
    for draw in one.draws:
        if draw.l_day <= 0.0:
            continue
        stopped, halved = (cut(one, draw.name, share=share) for share in (0.0, HALF))
        left = [
            None if one.first == (draw.name,) else _lasts(stopped, held_l, brought=brought),
            _lasts(halved, held_l, brought=brought),
        ]
        gains = [None if days is None or whole is None else max(days - whole, 0.0) for days in left]
        found.append(Cut(draw.name, draw.l_day, *gains))
    return tuple(sorted(found, key=_gain, reverse=True))


def _lasts(one: Supply, held_l: float, *, brought: Sequence[Brought]) -> float | None:
    return no_rain(one, held_l, brought=brought).rationed_days


def _gain(one: Cut) -> float:
    return math.inf if one.without_days is None else one.without_days


def _days(
    draws: tuple[Draw, ...], one: Supply, *, held_l: float, brought: Sequence[Brought]
) -> float | None:
    span = Span(one.floor_l, one.usable_l)
    return days_down(draws, held_l, span=span, brought=brought)


@dataclass(frozen=True, slots=True)
class Span:
    """From what fills the tanks down to the level asked for, above the dead storage."""

    low_l: float
    full_l: float


def days_down(
    draws: tuple[Draw, ...], held_l: float, *, span: Span, brought: Sequence[Brought] = ()
) -> float | None:
    """Days without rain until a level is reached; what is stated to come fills up to the brim.

    None where it is never drawn so far.
    """
    level, passed = min(held_l, span.full_l), 0.0
    for come in sorted(brought, key=lambda come: come.in_days):
        left = days_between(draws, max(level, span.low_l), low_l=span.low_l)
        wait = come.in_days - passed
        if left is not None and left < wait:
            return passed + left
        level = min(_after(draws, level, days=wait) + come.volume_l, span.full_l)
        passed += wait
    if level <= span.low_l:
        return passed
    last = days_between(draws, level, low_l=span.low_l)
    return None if last is None else passed + last


def _after(draws: tuple[Draw, ...], held_l: float, *, days: float) -> float:
    """What is left of a level after some days without rain."""
    edges = {edge for draw in draws for edge in (draw.stops_l, *(at for at, _ in draw.stages))}
    for edge in sorted((at for at in edges if at < held_l), reverse=True):
        rate = sum(draw.at_l_day(edge) for draw in draws)
        if held_l - rate * days >= edge:
            return held_l - rate * days
        days -= (held_l - edge) / rate
        held_l = edge
    return held_l


def last_day(today: date, days: float | None) -> date | None:
    """The day on which so many days of water are used up; None where they never are."""
    if days is None or days > (date.max - today).days:
        return None
    return today + timedelta(days=math.floor(days))
