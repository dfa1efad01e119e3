"""Whether a day is too coarse a step for a small store: the same store within the day."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.storage.drawn import Drawn
from eavewell.storage.series import Series, drained_roofs, uses_in_order
from eavewell.storage.within_day import RainWithinDay, day_shapes


@dataclass(frozen=True, slots=True)
class Coarse:
    """One store on both steps: the share supplied of what its uses want.

    daily : by the daily balance; within : with rain in its steps and the want even over the day.
    """

    store: str
    daily_share: float
    within_share: float


def too_coarse(
    site: Site, water: Series, *, within: RainWithinDay | None, drawn: Drawn
) -> tuple[Coarse, ...]:
    """Both steps of every store that only roofs fill and only whole uses of its own empty.

    within : None where the rain within the day is unknown, then nothing is compared.
    """
    if within is None:
        return ()
    return tuple(_both(site, water, within=within, drawn=drawn))


def _both(site: Site, water: Series, *, within: RainWithinDay, drawn: Drawn) -> Iterator[Coarse]:
    for k, tank in enumerate(site.tanks):
        mine = [u for u, use in enumerate(uses_in_order(site)) if tank.name in use.draws_from]
        want_l = water.demand_l[:, mine].sum(axis=1)
        if not _stands_alone(site, tank) or want_l[1:].sum() <= 0.0:
            continue
        areas = [roof.plan_area_m2 * (roof.drains_to == tank.name) for roof in drained_roofs(site)]
        runoff_l = water.runoff_mm @ np.array(areas, dtype=np.float64)
        every = drawn.every_day
        supplied = _supplied(
            tank, runoff_l, want_l=want_l, within=within, start_l=float(every.level_l[0, k])
        )
        daily = every.supplied_l[1:, mine].sum() / want_l[1:].sum()
        yield Coarse(tank.name, float(daily), supplied / float(want_l[1:].sum()))


def _stands_alone(site: Site, tank: Tank) -> bool:
    """No lift, truck, spill, reserve, ration or second store has a part in it."""
    lifted = {name for lift in site.lifts for name in (lift.source, lift.target)}
    fed = lifted | {truck.to for truck in site.hauling} | {one.overflow_to for one in site.tanks}
    own = [use for use in site.uses if tank.name in use.draws_from]
    plain = all(len(use.draws_from) == 1 and not use.stages and not use.reserve for use in own)
    closed = tank.open_area_m2 == 0.0 and tank.fire_reserve is None
    return bool(own) and plain and closed and not tank.is_sump and tank.name not in fed


def _supplied(
    tank: Tank, runoff_l: FloatArray, *, want_l: FloatArray, within: RainWithinDay, start_l: float
) -> float:
    """Supplied from the second day on, from the first evening's level."""
    from eavewell.storage.barrel_kernel import run_barrel

    out = np.zeros((3, runoff_l.size - 1))
    out[0, 0] = start_l
    depths = np.ascontiguousarray(within.steps_mm, dtype=np.float32)
    pattern = day_shapes(within, runoff_l.size)[1:]
    run_barrel(tank.usable_l, runoff_l[1:], want_l[1:], pattern, depths, out)
    return float(out[1].sum())
