"""The water that the use served first lives on, what draws from it, and where it stops."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.site.use import Use
from eavewell.storage.arrangement import MAINS
from eavewell.storage.stick import Draw, fire_reserve_l
from eavewell.tables import table

END_USES = ("drinking", "indoor", "animals", "outdoor")
ROUNDING_L = 1e-3


@dataclass(frozen=True, slots=True)
class Supply:
    """Tanks whose water reaches the use that is served first, as if they were one.

    tanks   : their names; a tank that lifts fill for another use is not among them. at : their
              places among the site's tanks.
    first   : the use served first; several where they are served alike.
    stops   : for each of them, places of the tanks it draws from and where it stops in each.
    draws   : of every use that lives on these tanks, with its stages; a mean day.
    floor_l : water above the dead storage that the first use does not reach. usable_l : all full.
    """

    tanks: tuple[str, ...]
    at: tuple[int, ...]
    first: tuple[str, ...]
    stops: tuple[tuple[tuple[int, float], ...], ...]
    draws: tuple[Draw, ...]
    floor_l: float
    usable_l: float

    def held_l(self, of_tanks: FloatArray) -> FloatArray:
        """What its tanks hold together; of_tanks (..., tank, lane)."""
        total: FloatArray = of_tanks[..., list(self.at), :].sum(axis=-2)
        return total


def supplies(site: Site, l_day: Mapping[str, float]) -> tuple[Supply, ...]:
    """One for every group of tanks that something draws from.

    Of the uses of a group those of the first priority are served first, and of these drinking
    before indoor, animals and outdoor. l_day : what each use wants in a day, by its name.
    """
    found = []
    for names in _joined(site):
        uses = [use for use in site.uses if set(use.draws_from) & names]
        if uses:
            found.append(_supply(site, uses, l_day=l_day))
    return tuple(found)


def read_supplies(site: Site, unread: frozenset[str]) -> tuple[Supply, ...]:
    """The supplies of which some level is known; nothing is wanted in their draws."""
    every = supplies(site, {use.name: 0.0 for use in site.uses})
    return tuple(one for one in every if not set(one.tanks) <= unread)


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


def _rank(use: Use) -> tuple[int, int]:
    return use.priority, END_USES.index(use.end_use)


def _supply(site: Site, uses: list[Use], *, l_day: Mapping[str, float]) -> Supply:
    best = min(_rank(use) for use in uses)
    first = [use for use in uses if _rank(use) == best]
    floors = _floors(site, first)
    return Supply(
        tanks=tuple(floors),
        at=tuple(n for n, tank in enumerate(site.tanks) if tank.name in floors),
        first=tuple(use.name for use in first),
        stops=tuple(_stops(site, use) for use in first),
        draws=tuple(_draws(site, uses, floors=floors, l_day=l_day)),
        floor_l=sum(floors.values()),
        usable_l=sum(site.tank(name).usable_l for name in floors),
    )


def _floors(site: Site, first: list[Use]) -> dict[str, float]:
    """Where the first uses stop in each tank they draw from, and lifts in those that fill them."""
    floors: dict[str, float] = {}
    for use in first:
        for name in use.draws_from:
            floors[name] = max(floors.get(name, 0.0), stops_l(use, site.tank(name)))
    grown = True
    while grown:
        grown = False
        for lift in site.lifts:
            if lift.target in floors and lift.source not in floors and _is_tank(site, lift.source):
                floors[lift.source] = max(
                    lift.source_stop_l, fire_reserve_l(site.tank(lift.source))
                )
                grown = True
    order = [tank.name for tank in site.tanks]
    return dict(sorted(floors.items(), key=lambda one: order.index(one[0])))


def _is_tank(site: Site, name: str) -> bool:
    return name != MAINS and not site.tank(name).is_sump


def _stops(site: Site, use: Use) -> tuple[tuple[int, float], ...]:
    of = {tank.name: n for n, tank in enumerate(site.tanks)}
    return tuple((of[name], stops_l(use, site.tank(name))) for name in use.draws_from)


def _draws(
    site: Site, uses: list[Use], *, floors: Mapping[str, float], l_day: Mapping[str, float]
) -> Iterable[Draw]:
    """Uses of these tanks, and those of tanks that lifts fill from them."""
    fed = {lift.target: lift for lift in site.lifts if lift.source in floors}
    for use in uses:
        drawn = [name for name in use.draws_from if name in floors]
        if drawn:
            yield _own_draw(site, use, floors=floors, l_day=l_day[use.name])
        elif lifts := [fed[name] for name in use.draws_from if name in fed]:
            source = site.tank(lifts[0].source)
            stop_l = max(lifts[0].source_stop_l, fire_reserve_l(source))
            elsewhere_l = sum(floors.values()) - floors[source.name]
            yield Draw(use.name, l_day[use.name], elsewhere_l + stop_l)


def _own_draw(site: Site, use: Use, *, floors: Mapping[str, float], l_day: float) -> Draw:
    usable_l = sum(site.tank(name).usable_l for name in use.draws_from)
    elsewhere_l = sum(floor for name, floor in floors.items() if name not in use.draws_from)
    stops = (stops_l(use, site.tank(name)) for name in use.draws_from if name in floors)
    stages = tuple(
        (elsewhere_l + stage.below.litres(usable_l), stage.share) for stage in use.stages
    )
    return Draw(use.name, l_day, elsewhere_l + sum(stops), stages)


def stops_l(use: Use, tank: Tank) -> float:
    """Water above the dead storage at which a use draws no more from a tank."""
    kept_l = use.reserve.litres(tank.usable_l) if use.reserve else 0.0
    return max(kept_l, fire_reserve_l(tank))


def dry_by_day(held_l: FloatArray, every: Sequence[Supply]) -> NDArray[np.bool_]:
    """True from the first evening on which a first use finds nothing in its tanks, (day, lane).

    held_l : (day, tank, lane).
    """
    dry = np.zeros((held_l.shape[0], held_l.shape[2]), dtype=bool)
    for one in every:
        for stops in one.stops:
            dry |= np.all([held_l[:, at] <= stop + ROUNDING_L for at, stop in stops], axis=0)
    return np.asarray(np.logical_or.accumulate(dry, axis=0))


def cut(one: Supply, use: str, *, share: float) -> Supply:
    """The same where one use draws only a share of what it would."""
    return replace(
        one,
        draws=tuple(
            replace(draw, l_day=draw.l_day * share) if draw.name == use else draw
            for draw in one.draws
        ),
    )


def rain_l(site: Site, one: Supply, *, depth_mm: float) -> float:
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
