"""The measuring stick of a tank: what its levels mean, and how long the water lasts from each."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from eavewell.site.lift import Lift
from eavewell.site.reserve import RationStage, Reserve
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


@dataclass(frozen=True, slots=True)
class Drawer:
    """What draws from one tank, whatever is wanted in a day and however large the tank is.

    wants   : the uses whose want it draws, at most most_l_day of it.
    stops_l : as stated. held : what else it leaves in the tank, the most of which rules.
    """

    name: str
    wants: tuple[str, ...]
    most_l_day: float
    stops_l: float
    held: tuple[Reserve, ...]
    stages: tuple[RationStage, ...] = ()

    def draw(self, l_day: Mapping[str, float], usable_l: float) -> Draw:
        """What it draws where each use wants so much in a day and the tank is so large."""
        return Draw(
            self.name,
            min(sum(l_day[name] for name in self.wants), self.most_l_day),
            max(self.stops_l, *(one.litres(usable_l) for one in self.held), 0.0),
            tuple((stage.below.litres(usable_l), stage.share) for stage in self.stages),
        )


def draws_from(site: Site, tank: Tank, *, l_day: Mapping[str, float]) -> tuple[Draw, ...]:
    """Uses that draw from a tank, and those that a lift brings its water to.

    l_day : want of each use in a day, by its name. A use of several tanks counts whole in each:
    the days that follow are those of this tank alone.
    """
    return tuple(one.draw(l_day, tank.usable_l) for one in drawers(site, tank))


def drawers(site: Site, tank: Tank) -> tuple[Drawer, ...]:
    """The uses that draw from a tank, then the lifts."""
    uses = (_use(one, tank) for one in site.uses if tank.name in one.draws_from)
    lifts = (_lift(one, site, tank=tank) for one in site.lifts if one.source == tank.name)
    return (*uses, *lifts)


def _use(use: Use, tank: Tank) -> Drawer:
    held = tuple(one for one in (use.reserve, tank.fire_reserve) if one)
    stages = use.stages if use.draws_from == (tank.name,) else ()
    return Drawer(use.name, (use.name,), math.inf, 0.0, held, stages)


def _lift(lift: Lift, site: Site, *, tank: Tank) -> Drawer:
    fed = site.fed_from(lift.target)
    wants = tuple(use.name for use in site.uses if not fed.isdisjoint(use.draws_from))
    most_l_day = math.inf if lift.limit_l_day is None else lift.limit_l_day
    held = (tank.fire_reserve,) if tank.fire_reserve else ()
    return Drawer(lift.name, wants, most_l_day, lift.source_stop_l, held)


def rationless(draws: Iterable[Draw]) -> tuple[Draw, ...]:
    """The same draws where nobody keeps to the ration stages."""
    return tuple(replace(draw, stages=()) for draw in draws)


def fire_reserve_l(tank: Tank, usable_l: float | None = None) -> float:
    """Water above the dead storage that no use may draw; usable_l where not the tank's own."""
    whole_l = tank.usable_l if usable_l is None else usable_l
    return tank.fire_reserve.litres(whole_l) if tank.fire_reserve else 0.0


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
