"""The level at which a load is ordered: one figure for the trial, the findings and the wall."""

from collections.abc import Mapping

from eavewell.site.hauling import Hauling
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.storage.stick import Draw, draws_from, fire_reserve_l, held_for_days


def order_level_l(
    site: Site,
    truck: Hauling,
    *,
    l_day: Mapping[str, float],
    lead_days: float | None = None,
    usable_l: float | None = None,
) -> float:
    """Water above the dead storage at which a load is ordered.

    The reserve, and over it what is drawn in the lead and safety days with the ration kept to.
    l_day     : want of each use in the month that asks most.
    lead_days : a slower truck's; None takes the truck's own, and its stated level where it has one.
    usable_l  : of the store, where a trial gives it another size.
    """
    tank = site.tank(truck.to)
    whole_l = tank.usable_l if usable_l is None else usable_l
    if lead_days is None and truck.order_below is not None:
        return truck.order_below.litres(whole_l)
    draws = draws_from(site, tank, l_day=l_day, usable_l=whole_l)
    low_l = bought_floor_l(site, tank, draws=draws, usable_l=whole_l)
    days = (truck.lead_days if lead_days is None else lead_days) + truck.safety_days
    held = held_for_days(draws, days, low_l=low_l)
    return low_l if held is None else held


def bought_floor_l(
    site: Site, tank: Tank, *, draws: tuple[Draw, ...], usable_l: float | None = None
) -> float:
    """The highest level at which something that loads are bought for stops, else anything."""
    bought = {use.name for use in site.uses if use.fallback == "hauled"}
    for lift in site.lifts:
        fed = site.fed_from(lift.target)
        if any(use.name in bought and not fed.isdisjoint(use.draws_from) for use in site.uses):
            bought.add(lift.name)
    stops = [draw.stops_l for draw in draws if draw.name in bought]
    return max(stops or [draw.stops_l for draw in draws], default=fire_reserve_l(tank, usable_l))
