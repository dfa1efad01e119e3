"""Tanks that stand for one another, what draws from them, and where the last of it stops."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.site.use import Use
from eavewell.storage.stick import Draw, draws_from, fire_reserve_l, lowest_l
from eavewell.tables import table

MAINS = "mains"


@dataclass(frozen=True, slots=True)
class Supply:
    """Tanks that uses draw from together or that lifts join, as if they were one.

    tanks   : their names. at : their places among the site's tanks.
    draws   : of every use, with its stages and where it stops, all tanks together; a mean day.
    floor_l : water above the dead storage that nothing draws. usable_l : all of them full.
    """

    tanks: tuple[str, ...]
    at: tuple[int, ...]
    draws: tuple[Draw, ...]
    floor_l: float
    usable_l: float

    @property
    def l_day(self) -> float:
        """What all uses draw in a day while no ration is reached."""
        return sum(draw.l_day for draw in self.draws)

    def held_l(self, of_tanks: FloatArray) -> FloatArray:
        """What its tanks hold together; of_tanks (..., tank, lane)."""
        total: FloatArray = of_tanks[..., list(self.at), :].sum(axis=-2)
        return total


def supplies(site: Site, l_day: Mapping[str, float]) -> tuple[Supply, ...]:
    """Every group of tanks that something draws from.

    l_day : what each use wants in a day, by its name.
    """
    return tuple(
        _supply(site, names, l_day=l_day)
        for names in _joined(site)
        if any(set(use.draws_from) & names for use in site.uses)
    )


def _joined(site: Site) -> list[set[str]]:
    """Tanks that a use draws from together or that a lift joins; sumps belong to none."""
    groups = [{tank.name} for tank in site.tanks if not tank.is_sump]
    links = [set(use.draws_from) for use in site.uses]
    links += [{lift.source, lift.target} - {MAINS} for lift in site.lifts]
    for link in links:
        met = [group for group in groups if group & link]
        if len(met) > 1:
            groups = [group for group in groups if group not in met] + [set().union(*met)]
    order = [tank.name for tank in site.tanks]
    return sorted(groups, key=lambda group: min(order.index(name) for name in group))


def _supply(site: Site, names: set[str], *, l_day: Mapping[str, float]) -> Supply:
    places = tuple(n for n, tank in enumerate(site.tanks) if tank.name in names)
    tanks = [site.tanks[n] for n in places]
    return Supply(
        tanks=tuple(tank.name for tank in tanks),
        at=places,
        draws=tuple(
            _draw(site, use, l_day=l_day[use.name])
            for use in site.uses
            if set(use.draws_from) & names
        ),
        floor_l=sum(lowest_l(tank, draws_from(site, tank, l_day=l_day)) for tank in tanks),
        usable_l=sum(tank.usable_l for tank in tanks),
    )


def _draw(site: Site, use: Use, *, l_day: float) -> Draw:
    drawn = [site.tank(name) for name in use.draws_from]
    usable_l = sum(tank.usable_l for tank in drawn)
    stages = tuple((stage.below.litres(usable_l), stage.share) for stage in use.stages)
    return Draw(use.name, l_day, sum(_stops_l(use, tank) for tank in drawn), stages)


def _stops_l(use: Use, tank: Tank) -> float:
    kept_l = use.reserve.litres(tank.usable_l) if use.reserve else 0.0
    return max(kept_l, fire_reserve_l(tank))


def dry_by_day(held_l: FloatArray, every: Sequence[Supply]) -> NDArray[np.bool_]:
    """True from the first evening on which one supply gives nothing more, (day, lane).

    held_l : (day, tank, lane).
    """
    dry = np.zeros((held_l.shape[0], held_l.shape[2]), dtype=bool)
    for one in every:
        if one.l_day > 0.0:
            dry |= one.held_l(held_l) <= one.floor_l + 1e-6 * max(one.usable_l, 1.0)
    return np.asarray(np.logical_or.accumulate(dry, axis=0))


def cut(one: Supply, use: str, share: float) -> Supply:
    """The same where one use draws only a share of what it would."""
    return replace(
        one,
        draws=tuple(
            replace(draw, l_day=draw.l_day * share) if draw.name == use else draw
            for draw in one.draws
        ),
    )


def rain_l(site: Site, one: Supply, depth_mm: float) -> float:
    """What a rain on its roofs brings a supply, sumps lifted into it too.

    Each finish keeps its usual share; first flush, wetting and spills are left out.
    """
    names = set(one.tanks)
    return sum(
        roof.plan_area_m2 * table("runoff")[roof.finish].value * depth_mm
        for roof in site.roofs
        if roof.drains_to and (roof.drains_to in names or _fills(site, roof.drains_to) & names)
    )


def _fills(site: Site, store: str) -> frozenset[str]:
    """What a sump's lift fills."""
    return site.fed_from(store) if site.tank(store).is_sump else frozenset()
