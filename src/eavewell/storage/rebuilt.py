"""A site as a choice would build it: other tanks, other roof, better fixtures, a smaller garden."""

import math
from dataclasses import replace

from eavewell.site.first_flush import FirstFlush
from eavewell.site.gutter import Gutter
from eavewell.site.roof import Roof
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import (
    Box,
    ConeBottom,
    HorizontalCylinder,
    StrappingTable,
    TankShape,
    UprightCylinder,
)
from eavewell.site.want import Household, People, Plants
from eavewell.site.weighing import Choice


def as_it_stands(site: Site, tank: str) -> Choice:
    """The choice that changes nothing."""
    one = site.tank(tank)
    return Choice(one.count, one.rim_l / one.count, connected_m2(site))


def connected_m2(site: Site) -> float:
    """Plan area of all roofs that drain to a store."""
    return sum(roof.plan_area_m2 for roof in site.roofs if roof.drains_to)


def rebuilt(site: Site, choice: Choice, *, tank: str) -> Site:
    """The site with the tanks and the roof of a choice, to be drawn, taken off and priced.

    Wants and ration stages stay as they are: the balance scales them.
    """
    share = choice.roof_m2 / (connected_m2(site) or 1.0)
    tanks = tuple(resized(one, choice) if one.name == tank else one for one in site.tanks)
    if abs(share - 1.0) < 1e-12:
        return replace(site, tanks=tanks)
    roofs = tuple(grown(roof, share) if roof.drains_to else roof for roof in site.roofs)
    return replace(site, tanks=tanks, roofs=roofs)


def resized(tank: Tank, choice: Choice) -> Tank:
    """Tanks of another size and count: as high as before, wider or narrower."""
    each_l = tank.rim_l / tank.count
    share = choice.each_l / each_l if each_l > 0.0 else 1.0
    if abs(share - 1.0) < 1e-12:
        return tank if tank.count == choice.count else replace(tank, count=choice.count)
    stated = None if tank.stated_l is None else tank.stated_l * share
    return replace(
        tank,
        count=choice.count,
        stated_l=stated,
        shape=None if tank.shape is None else widened(tank.shape, share),
        dead_l=None if tank.dead_l is None else tank.dead_l * share,
        empty_kg=None if tank.empty_kg is None else tank.empty_kg * share,
    )


def widened(shape: TankShape, share: float) -> TankShape:
    """A shape that holds so many times as much at every depth."""
    side = math.sqrt(share)
    if isinstance(shape, UprightCylinder):
        return UprightCylinder(shape.diameter_m * side, shape.height_m)
    if isinstance(shape, Box):
        return Box(shape.length_m * side, shape.width_m * side, shape.height_m)
    if isinstance(shape, HorizontalCylinder):
        return HorizontalCylinder(shape.diameter_m, shape.length_m * share)
    if isinstance(shape, ConeBottom):
        return ConeBottom(shape.diameter_m * side, shape.cone_m, shape.height_m)
    return StrappingTable(shape.depths_m, tuple(volume * share for volume in shape.volumes_l))


def grown(roof: Roof, share: float) -> Roof:
    """A roof grown or cut in proportion, with its gutters, downspouts and first flush."""
    planes = tuple(replace(plane, plan_area_m2=plane.plan_area_m2 * share) for plane in roof.planes)
    flush = None if roof.first_flush is None else _larger(roof.first_flush, share)
    gutters = tuple(_longer(one, share) for one in roof.gutters)
    return replace(roof, planes=planes, gutters=gutters, first_flush=flush)


def _larger(flush: FirstFlush, share: float) -> FirstFlush:
    """As deep over the roof as before."""
    volume_l, drain_l_h = (
        None if one is None else one * share for one in (flush.volume_l, flush.drain_l_h)
    )
    bled = flush.bleed_l_h * share
    return replace(flush, volume_l=volume_l, drain_l_h=drain_l_h, bleed_l_h=bled)


def _longer(gutter: Gutter, share: float) -> Gutter:
    area = gutter.plan_area_m2
    return replace(
        gutter,
        length_m=gutter.length_m * share,
        plan_area_m2=None if area is None else area * share,
        spouts=max(math.ceil(gutter.spouts * share - 1e-9), 1),
    )


def household_only(site: Site) -> tuple[str, ...]:
    """Uses that are a household, and so take less with better fixtures."""
    return tuple(use.name for use in site.uses if _all_of(use.wants, (People, Household)))


def garden_only(site: Site) -> tuple[str, ...]:
    """Uses that are plants alone, and so take less with a smaller garden."""
    return tuple(use.name for use in site.uses if _all_of(use.wants, (Plants,)))


def _all_of(wants: tuple[object, ...], kinds: tuple[type, ...]) -> bool:
    """Whether the use is of that kind; what is washed or flushed beside it goes along."""
    return any(isinstance(want, kinds) for want in wants) and not any(
        isinstance(want, (People, Household, Plants)) and not isinstance(want, kinds)
        for want in wants
    )
