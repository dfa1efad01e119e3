"""Many ways to build a site through the whole record at once, one lane each."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.site.weighing import Choice
from eavewell.storage.arrangement import Lanes, arrange, lanes_as_drawn, order_levels_l
from eavewell.storage.balance import Balance
from eavewell.storage.in_service import run_in_service
from eavewell.storage.rebuilt import connected_m2, garden_only, household_only, resized
from eavewell.storage.series import Series, uses_in_order

# A sump lifted within the day brings a stand-in roof of next to no size; see with_captured.
_SAME_ROOF = 1e-6


def run_choices(site: Site, water: Series, *, choices: Sequence[Choice], tank: str) -> Balance:
    """Run every choice through the record; lanes in the order of the choices.

    tank : the store whose size the choices vary. A choice without rations drops every stage.
    """
    lanes = lanes_of(site, choices, tank=tank)
    arrangement = arrange(site, water, lanes=lanes)
    off = np.array([not choice.rations for choice in choices])
    if off.any() and arrangement.stage_below_l.size:
        below = arrangement.stage_below_l.copy()
        below[..., off] = -1.0
        free = replace(site, uses=tuple(replace(use, stages=()) for use in site.uses))
        orders = np.where(off, order_levels_l(free, water, lanes=lanes), arrangement.truck_order_l)
        arrangement = arrangement._replace(stage_below_l=below, truck_order_l=orders)
    return run_in_service(site, arrangement)


def lanes_of(site: Site, choices: Sequence[Choice], *, tank: str) -> Lanes:
    """What differs between the choices, one lane each."""
    lanes = lanes_as_drawn(site, len(choices))
    store = [one.name for one in site.tanks].index(tank)
    drawn = site.tanks[store]
    sized = {(one.count, one.each_l): resized(drawn, one).usable_l for one in choices}
    usable, start = lanes.usable_l.copy(), lanes.start_l.copy()
    usable[store] = [sized[one.count, one.each_l] for one in choices]
    start[store] = (drawn.start_share or 0.0) * usable[store]
    roof = np.array([one.roof_m2 for one in choices]) / (connected_m2(site) or 1.0)
    roof[np.abs(roof - 1.0) < _SAME_ROOF] = 1.0
    return replace(
        lanes,
        usable_l=usable,
        start_l=start,
        area_m2=lanes.area_m2 * roof,
        scale=_scales(site, choices),
    )


def _scales(site: Site, choices: Sequence[Choice]) -> FloatArray:
    house, garden = household_only(site), garden_only(site)
    scale = np.ones((len(site.uses), len(choices)))
    for u, use in enumerate(uses_in_order(site)):
        if use.name in house:
            scale[u] = [one.fixtures for one in choices]
        elif use.name in garden:
            scale[u] = [one.garden for one in choices]
    return scale
