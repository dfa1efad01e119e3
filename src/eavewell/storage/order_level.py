"""The level at which a load is ordered: one figure for the trial, the findings and the wall."""

from collections.abc import Mapping
from dataclasses import dataclass

from eavewell.site.hauling import Hauling
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.storage.stick import Draw, Drawer, drawers, fire_reserve_l, held_for_days


@dataclass(frozen=True, slots=True)
class Ordering:
    """What the order level of a truck depends on, whatever is wanted and however large the tank.

    bought : names of what loads are bought for.
    """

    truck: Hauling
    tank: Tank
    drawers: tuple[Drawer, ...]
    bought: frozenset[str]

    @classmethod
    def of(cls, site: Site, truck: Hauling) -> "Ordering":
        """Of a truck that serves a site."""
        tank = site.tank(truck.to)
        return cls(truck, tank, drawers(site, tank), _bought(site))

    def level_l(self, l_day: Mapping[str, float], *, usable_l: float) -> float:
        """Water above the dead storage at which a load is ordered: as stated, else as needed.

        l_day    : want of each use in the month that asks most.
        usable_l : of the store.
        """
        if self.truck.order_below is not None:
            return self.truck.order_below.litres(usable_l)
        return self.needed_l(l_day, usable_l=usable_l, lead_days=self.truck.lead_days)

    def needed_l(self, l_day: Mapping[str, float], *, usable_l: float, lead_days: float) -> float:
        """The reserve, and over it what is drawn in the lead and safety days, rations kept to."""
        draws = tuple(one.draw(l_day, usable_l) for one in self.drawers)
        low_l = _floor_l(draws, self.bought, default=fire_reserve_l(self.tank, usable_l))
        held = held_for_days(draws, lead_days + self.truck.safety_days, low_l=low_l)
        return low_l if held is None else held


def order_level_l(
    site: Site, truck: Hauling, *, l_day: Mapping[str, float], lead_days: float | None = None
) -> float:
    """Water above the dead storage of the tank as it is at which a load is ordered.

    l_day     : want of each use in the month that asks most.
    lead_days : a slower truck's; None takes the truck's own, and its stated level where it has one.
    """
    ordering = Ordering.of(site, truck)
    usable_l = ordering.tank.usable_l
    if lead_days is None:
        return ordering.level_l(l_day, usable_l=usable_l)
    return ordering.needed_l(l_day, usable_l=usable_l, lead_days=lead_days)


def bought_floor_l(site: Site, tank: Tank, *, draws: tuple[Draw, ...]) -> float:
    """The highest level at which something that loads are bought for stops, else anything."""
    return _floor_l(draws, _bought(site), default=fire_reserve_l(tank))


def _floor_l(draws: tuple[Draw, ...], bought: frozenset[str], *, default: float) -> float:
    stops = [draw.stops_l for draw in draws if draw.name in bought]
    return max(stops or [draw.stops_l for draw in draws], default=default)


def _bought(site: Site) -> frozenset[str]:
    """Uses that loads are bought for, and the lifts that bring them their water."""
    uses = {use.name: use for use in site.uses if use.fallback == "hauled"}
    fed = {lift.name: site.fed_from(lift.target) for lift in site.lifts}
    lifts = {
        name
        for name, stores in fed.items()
        if any(not stores.isdisjoint(use.draws_from) for use in uses.values())
    }
    return frozenset(uses) | lifts
