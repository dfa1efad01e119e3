"""The measuring stick of a tank: what its levels mean, and how long the water lasts from each."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from eavewell.site.reserve import RationStage
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import depth_at
from eavewell.site.use import Use


@dataclass(frozen=True, slots=True)
class Draw:
    """Something that draws from one tank; volumes are water above the dead storage.

    stops_l : below this much it draws nothing. stages : (below, share of its want) of its ration;
    of those reached the smallest share rules.
    """

    name: str
    l_day: float
    stops_l: float = 0.0
    stages: tuple[tuple[float, float], ...] = ()

    def at_l_day(self, held_l: float) -> float:
        """What it draws in a day while the tank holds just over held_l."""
        if held_l < self.stops_l:
            return 0.0
        return self.l_day * min(
            (share for below, share in self.stages if held_l < below), default=1
        )


def draws_from(
    site: Site, tank: Tank, *, l_day: Mapping[str, float], usable_l: float | None = None
) -> tuple[Draw, ...]:
    """Uses that draw from a tank, and those that a lift brings its water to.

    l_day : want of each use in a day, by its name. A use of several tanks counts whole in each:
    the days that follow are those of this tank alone. usable_l : of the tank, where not its own.
    """
    whole_l = tank.usable_l if usable_l is None else usable_l
    found = [
        _of_use(use, tank, l_day=l_day, usable_l=whole_l)
        for use in site.uses
        if tank.name in use.draws_from
    ]
    for lift in site.lifts:
        if lift.source != tank.name:
            continue
        fed = site.fed_from(lift.target)
        wants = [l_day[use.name] for use in site.uses if not fed.isdisjoint(use.draws_from)]
        most = math.inf if lift.limit_l_day is None else lift.limit_l_day
        stops_l = max(lift.source_stop_l, fire_reserve_l(tank, whole_l))
        found.append(Draw(lift.name, min(sum(wants), most), stops_l))
    return tuple(found)


def rationless(draws: Iterable[Draw]) -> tuple[Draw, ...]:
    """The same draws where nobody keeps to the ration stages."""
    return tuple(replace(draw, stages=()) for draw in draws)


def fire_reserve_l(tank: Tank, usable_l: float | None = None) -> float:
    """Water above the dead storage that no use may draw; usable_l where not the tank's own."""
    whole_l = tank.usable_l if usable_l is None else usable_l
    return tank.fire_reserve.litres(whole_l) if tank.fire_reserve else 0.0


def _of_use(use: Use, tank: Tank, *, l_day: Mapping[str, float], usable_l: float) -> Draw:
    kept_l = use.reserve.litres(usable_l) if use.reserve else 0.0
    stages = tuple((stage.below.litres(usable_l), stage.share) for stage in use.stages)
    only = use.draws_from == (tank.name,)
    stops_l = max(kept_l, fire_reserve_l(tank, usable_l))
    return Draw(use.name, l_day[use.name], stops_l, stages if only else ())


def below_l(stage: RationStage, tank: Tank) -> float:
    """Water above the dead storage of a tank at which a stage begins."""
    return stage.below.litres(tank.usable_l)


def days_between(draws: tuple[Draw, ...], high_l: float, *, low_l: float) -> float | None:
    """Days without rain from one level down to another; None where it is never drawn so far."""
    days = 0.0
    for under, over in _steps(draws, low_l, high_l=high_l):
        rate = sum(draw.at_l_day(under) for draw in draws)
        if rate <= 0.0:
            return None
        days += (over - under) / rate
    return days


def held_for_days(draws: tuple[Draw, ...], days: float, *, low_l: float) -> float | None:
    """Water above the dead storage that lasts so many days down to low_l; None where unknown."""
    left, level = days, low_l
    for under, over in _steps(draws, low_l, high_l=math.inf):
        rate = sum(draw.at_l_day(under) for draw in draws)
        if rate <= 0.0:
            level = over
        elif rate * left <= over - under:
            return under + rate * left
        else:
            left, level = left - (over - under) / rate, over
    return level if left <= 0.0 and math.isfinite(level) else None


def _steps(draws: tuple[Draw, ...], low_l: float, *, high_l: float) -> list[tuple[float, float]]:
    """Levels between which the use in a day stays the same, from below upward."""
    edges = {
        edge for draw in draws for edge in (draw.stops_l, *(below for below, _ in draw.stages))
    }
    inside = sorted(edge for edge in edges if low_l < edge < high_l)
    points = [low_l, *inside, high_l]
    return [(a, b) for a, b in pairwise(points) if b > a]


def lowest_l(tank: Tank, draws: tuple[Draw, ...]) -> float:
    """Where the last of the draws stops: nothing is drawn below it."""
    return min((draw.stops_l for draw in draws if draw.l_day > 0.0), default=fire_reserve_l(tank))


def level_m(tank: Tank, held_l: float) -> float | None:
    """Where water above the dead storage stands on the stick, from the floor; None: no shape."""
    if tank.shape is None:
        return None
    return depth_at(tank.shape, (tank.dead_storage_l + held_l) / tank.count)


def held_l(tank: Tank, depth_m: float) -> float:
    """Water above the dead storage at a depth, the whole row; below 0 in the dead storage."""
    assert tank.shape is not None
    return tank.count * tank.shape.volume_l(depth_m) - tank.dead_storage_l
