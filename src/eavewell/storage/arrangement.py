"""From the nouns of a site to the arrays that the engine runs."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from eavewell.site.hauling import Hauling
from eavewell.site.rain_record import FloatArray
from eavewell.site.reserve import Reserve
from eavewell.site.site import Site
from eavewell.site.use import Use
from eavewell.storage.lanes import (
    FALLBACK_HAULED,
    FALLBACK_MAINS,
    FALLBACK_NONE,
    MOST_STAGES,
    NO_LIMIT,
    NOWHERE,
    Arrangement,
)
from eavewell.storage.order_level import Ordering
from eavewell.storage.reliability import monthly_means
from eavewell.storage.series import Series, drained_roofs, uses_in_order

_FALLBACKS = {"none": FALLBACK_NONE, "mains": FALLBACK_MAINS, "hauled": FALLBACK_HAULED}
MAINS = "mains"


@dataclass(frozen=True, slots=True, eq=False)
class Lanes:
    """What differs between lanes.

    usable_l, start_l [store, lane]; area_m2 [roof, lane]; scale [use, lane], a factor on each
    use's demand.
    """

    usable_l: FloatArray
    start_l: FloatArray
    area_m2: FloatArray
    scale: FloatArray

    @property
    def count(self) -> int:
        """Number of lanes."""
        return int(self.usable_l.shape[1])


def lanes_as_drawn(site: Site, count: int = 1) -> Lanes:
    """The site as it is described, `count` times; stores start as stated, else empty."""
    usable = [[tank.usable_l] for tank in site.tanks]
    start = [[(tank.start_share or 0.0) * tank.usable_l] for tank in site.tanks]
    area = [[roof.plan_area_m2] for roof in drained_roofs(site)]
    ones = [[1.0] for _ in site.uses]
    return Lanes(*(_wide(values, count) for values in (usable, start, area, ones)))


def side_by_side(*groups: Lanes) -> Lanes:
    """Several groups of lanes as one."""
    names = ("usable_l", "start_l", "area_m2", "scale")
    return Lanes(*(np.hstack([getattr(group, name) for group in groups]) for name in names))


def with_store(lanes: Lanes, store: int, *, usable_l: FloatArray) -> Lanes:
    """One lane for each size of one store, the rest as in the first lane of `lanes`."""
    wide = spread(lanes, usable_l.size)
    usable, start = wide.usable_l.copy(), wide.start_l.copy()
    share = lanes.start_l[store, 0] / lanes.usable_l[store, 0] if lanes.usable_l[store, 0] else 0.0
    usable[store], start[store] = usable_l, share * usable_l
    return replace(wide, usable_l=usable, start_l=start)


def spread(lanes: Lanes, count: int) -> Lanes:
    """The first lane, `count` times."""
    names = ("usable_l", "start_l", "area_m2", "scale")
    return Lanes(*(np.repeat(getattr(lanes, name)[:, :1], count, axis=1) for name in names))


def arrange(
    site: Site, series: Series, *, lanes: Lanes, day_row: NDArray[np.int32] | None = None
) -> Arrangement:
    """The arrangement of stores of a site, ready for the engine.

    day_row : rows of the series that each day of a run reads, shape (day, 1) or (day, lane);
              None runs the series itself.

    A reserve or stage given as a share grows and shrinks with its store. A use is cut at the
    higher of its own reserve and the store's fire reserve; no lift draws a fire reserve.
    """
    rows = np.arange(series.days, dtype=np.int32)[:, None] if day_row is None else day_row
    return Arrangement(
        day_row=np.ascontiguousarray(rows),
        new_year=_new_years(series, rows, is_record=day_row is None),
        ybs=int(site.rule == "ybs"),
        **_roofs(site, series, lanes=lanes),
        **_stores(site, series, lanes=lanes),
        **_lifts(site, lanes),
        **_uses(site, series, lanes=lanes),
        **_trucks(site, series, lanes=lanes),
    )


def _roofs(site: Site, series: Series, *, lanes: Lanes) -> dict[str, Any]:
    at = _index(tank.name for tank in site.tanks)
    return {
        "runoff_mm": series.runoff_mm,
        "area_m2": lanes.area_m2,
        "roof_to": _whole(at[roof.drains_to] for roof in drained_roofs(site)),
    }


def _stores(site: Site, series: Series, *, lanes: Lanes) -> dict[str, Any]:
    at = _index(tank.name for tank in site.tanks)
    open_m2 = np.array([tank.open_area_m2 for tank in site.tanks])
    loss = series.open_loss_mm[:, None] * open_m2 if open_m2.any() else np.zeros((series.days, 0))
    below = _whole(at.get(tank.overflow_to, NOWHERE) for tank in site.tanks)
    return {
        "capacity_l": lanes.usable_l,
        "start_l": np.minimum(lanes.start_l, lanes.usable_l),
        "spill_to": below,
        "uphill_first": uphill_first(below),
        "loss_l": np.ascontiguousarray(loss),
    }


def uphill_first(spill_to: NDArray[np.int64]) -> NDArray[np.int64]:
    """Stores ordered so that each stands before the one it spills to; the links form no loop."""
    order: list[int] = []
    left = list(range(spill_to.size))
    while left:
        free = [k for k in left if not any(spill_to[other] == k for other in left)]
        order += free
        left = [k for k in left if k not in free]
    return np.array(order, dtype=np.int64)


def _lifts(site: Site, lanes: Lanes) -> dict[str, Any]:
    at = _index(tank.name for tank in site.tanks) | {MAINS: NOWHERE}
    targets = _whole(at[lift.target] for lift in site.lifts)
    target_l = lanes.usable_l[targets]
    sources = [at[lift.source] for lift in site.lifts]
    fire = np.array([_fire(site, k, lanes=lanes) for k in sources]).reshape(-1, lanes.count)
    stated_stop = _wide([[x.source_stop_l] for x in site.lifts], lanes.count)
    limits = [[NO_LIMIT if x.limit_l_day is None else x.limit_l_day] for x in site.lifts]
    start = np.array([[lift.target_start_share] for lift in site.lifts]).reshape(-1, 1)
    stop = np.array([[lift.target_stop_share] for lift in site.lifts]).reshape(-1, 1)
    return {
        "lift_from": _whole(sources),
        "lift_to": targets,
        "lift_limit_l": _wide(limits, lanes.count),
        "lift_source_start_l": _wide([[x.source_start_l] for x in site.lifts], lanes.count),
        "lift_source_stop_l": np.maximum(stated_stop, fire),
        "lift_target_start_l": target_l * start,
        "lift_target_stop_l": target_l * stop,
    }


def _uses(site: Site, series: Series, *, lanes: Lanes) -> dict[str, Any]:
    uses = uses_in_order(site)
    below, share = _stages(site, lanes)
    return {
        "demand_l": series.demand_l,
        "scale": lanes.scale,
        "draw": _draws(site),
        "reserve_l": np.stack([_reserves(site, use, lanes=lanes) for use in uses]),
        "stage_below_l": below,
        "stage_share": share,
        "fallback": _whole(_FALLBACKS[use.fallback] for use in uses),
    }


def _draws(site: Site) -> NDArray[np.int64]:
    at, uses = _index(tank.name for tank in site.tanks), uses_in_order(site)
    draw = np.full((len(uses), max(len(use.draws_from) for use in uses)), NOWHERE, dtype=np.int64)
    for u, use in enumerate(uses):
        draw[u, : len(use.draws_from)] = [at[name] for name in use.draws_from]
    return draw


def _reserves(site: Site, use: Use, *, lanes: Lanes) -> FloatArray:
    """The level of each store below which the use is cut, shape (store, lane)."""
    fire = np.stack([_fire(site, k, lanes=lanes) for k in range(len(site.tanks))])
    return np.maximum(fire, [_held(use.reserve, usable) for usable in lanes.usable_l])


def _fire(site: Site, store: int, *, lanes: Lanes) -> FloatArray:
    """The fire reserve of a store, shape (lane,); the mains have none."""
    if store == NOWHERE:
        return np.zeros(lanes.count)
    return _held(site.tanks[store].fire_reserve, lanes.usable_l[store])


def _held(reserve: Reserve | None, usable_l: FloatArray) -> FloatArray:
    if reserve is None:
        return np.zeros(usable_l.size)
    return np.array([reserve.litres(float(usable)) for usable in usable_l])


def _stages(site: Site, lanes: Lanes) -> tuple[FloatArray, FloatArray]:
    uses = uses_in_order(site)
    most = MOST_STAGES if any(use.stages for use in uses) else 0
    below = np.full((len(uses), most, lanes.count), -1.0)
    share = np.ones((len(uses), most))
    at = _index(tank.name for tank in site.tanks)
    for u, use in enumerate(uses):
        held = lanes.usable_l[[at[name] for name in use.draws_from]].sum(axis=0)
        # A stage that gives the whole want rations nothing. By their shares they stand in the same
        # order in every lane, however a share of the store compares with a volume there.
        rationing = [stage for stage in use.stages if stage.share < 1.0]
        ranked = sorted(rationing, key=lambda stage: stage.share)
        for n, stage in enumerate(ranked):
            below[u, n] = [stage.below.litres(float(usable)) for usable in held]
            share[u, n] = stage.share
    return below, share


def _trucks(site: Site, series: Series, *, lanes: Lanes) -> dict[str, Any]:
    at = _index(tank.name for tank in site.tanks)
    return {
        "truck_to": _whole(at[truck.to] for truck in site.hauling),
        "truck_lead": np.array([float(max(truck.lead_days, 1)) for truck in site.hauling]),
        "truck_load_l": _wide([[truck.load_l] for truck in site.hauling], lanes.count),
        "truck_order_l": order_levels_l(site, series, lanes=lanes),
    }


def order_levels_l(site: Site, series: Series, *, lanes: Lanes) -> FloatArray:
    """The order level of every truck in every lane, at its size of store and scale of use."""
    peaks = [[monthly_means(column, series.dates).max()] for column in series.demand_l.T]
    return orders_at_l(site, np.reshape(peaks, (-1, 1)) * lanes.scale, lanes=lanes)


def orders_at_l(site: Site, peak_l_day: FloatArray, *, lanes: Lanes) -> FloatArray:
    """The same where the want of each use in its highest month is known, shape (use, lane)."""
    orders = [
        _order_level(site, truck, peak_l_day=peak_l_day, lanes=lanes) for truck in site.hauling
    ]
    return np.array(orders).reshape(len(orders), lanes.count)


def _order_level(site: Site, truck: Hauling, *, peak_l_day: FloatArray, lanes: Lanes) -> FloatArray:
    """One truck's level; lanes that are alike in it are worked out once."""
    k = [tank.name for tank in site.tanks].index(truck.to)
    names = [use.name for use in uses_in_order(site)]
    alike = np.vstack([lanes.usable_l[k], peak_l_day])
    unlike, lane_of = np.unique(alike, axis=1, return_inverse=True)
    ordering = Ordering.of(site, truck)
    levels = [
        ordering.level_l(dict(zip(names, wants, strict=True)), usable_l=usable_l)
        for usable_l, *wants in unlike.T.tolist()
    ]
    return np.array(levels)[lane_of.reshape(-1)]


def _new_years(series: Series, rows: NDArray[np.int32], *, is_record: bool) -> NDArray[np.bool_]:
    days = np.arange(rows.shape[0])
    if not is_record:
        return np.asarray((days % 365 == 0) & (days > 0))
    years = series.dates.astype("datetime64[Y]").astype(int)
    return np.concatenate(([False], np.diff(years) > 0))


def _index(names: Any) -> dict[str, int]:
    return {name: k for k, name in enumerate(names)}


def _whole(values: Any) -> NDArray[np.int64]:
    return np.array(list(values), dtype=np.int64)


def _wide(values: Sequence[Sequence[float]], count: int) -> FloatArray:
    column = np.array(values, dtype=np.float64).reshape(-1, 1)
    return np.repeat(column, count, axis=1)
