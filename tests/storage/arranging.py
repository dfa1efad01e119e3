"""An arrangement of stores from plain parts; every volume may be one number or one a lane."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from graphlib import TopologicalSorter

import numpy as np

from eavewell.storage.lanes import FALLBACK_NONE, MOST_STAGES, NO_LIMIT, NOWHERE, Arrangement

Lane = float | Sequence[float]


@dataclass(frozen=True)
class Store:
    capacity_l: Lane
    start_l: Lane = 0.0
    spills_to: int = NOWHERE
    loss_l: Sequence[float] = ()


@dataclass(frozen=True)
class Roof:
    runoff_mm: Sequence[float]
    area_m2: Lane = 1.0
    to: int = 0


@dataclass(frozen=True)
class Use:
    """`stages` are (below_l, share), the lowest first."""

    demand_l: Sequence[float]
    draws_from: Sequence[int] = (0,)
    scale: Lane = 1.0
    reserve_l: Mapping[int, Lane] = field(default_factory=dict)
    stages: Sequence[tuple[Lane, float]] = ()
    fallback: int = FALLBACK_NONE


@dataclass(frozen=True)
class Lift:
    """`source` NOWHERE is the mains; `target_stop_l` is needed."""

    source: int
    target: int
    target_stop_l: Lane
    limit_l: Lane = NO_LIMIT
    source_start_l: Lane = 0.0
    source_stop_l: Lane = 0.0
    target_start_l: Lane = NO_LIMIT


@dataclass(frozen=True)
class Truck:
    to: int
    load_l: Lane
    order_below_l: Lane
    lead_days: int = 1


@dataclass(frozen=True)
class Parts:
    """A whole arrangement; `reads` is the row that each day reads, (day, 1) or (day, lane)."""

    stores: Sequence[Store]
    roofs: Sequence[Roof]
    uses: Sequence[Use]
    lifts: Sequence[Lift] = ()
    trucks: Sequence[Truck] = ()
    rule: str = "yas"
    lanes: int = 1
    reads: np.ndarray | None = None
    new_year: Sequence[bool] | None = None

    @property
    def rows(self):
        return len(self.roofs[0].runoff_mm)


def arranged(parts):
    """The parts as arrays, the lane last."""
    reads = np.arange(parts.rows)[:, None] if parts.reads is None else parts.reads
    days = reads.shape[0]
    new_year = [False] * days if parts.new_year is None else parts.new_year
    return Arrangement(
        day_row=np.ascontiguousarray(reads, dtype=np.int32),
        new_year=np.array(new_year, dtype=bool),
        ybs=int(parts.rule == "ybs"),
        **_stores_and_roofs(parts),
        **_uses(parts),
        **_lifts_and_trucks(parts),
    )


def _stores_and_roofs(parts):
    spills = [store.spills_to for store in parts.stores]
    losses = [store.loss_l or np.zeros(parts.rows) for store in parts.stores]
    width = len(losses) if any(store.loss_l for store in parts.stores) else 0
    return {
        "capacity_l": _wide(parts, [s.capacity_l for s in parts.stores]),
        "start_l": _wide(parts, [s.start_l for s in parts.stores]),
        "spill_to": _whole(spills),
        "uphill_first": _whole(_downhill(spills)),
        "loss_l": np.ascontiguousarray(np.array(losses, dtype=float).T[:, :width]),
        "runoff_mm": _by_day(roof.runoff_mm for roof in parts.roofs),
        "area_m2": _wide(parts, [roof.area_m2 for roof in parts.roofs]),
        "roof_to": _whole(roof.to for roof in parts.roofs),
    }


def _downhill(spills):
    above = {k: {j for j, to in enumerate(spills) if to == k} for k in range(len(spills))}
    return TopologicalSorter(above).static_order()


def _uses(parts):
    longest = max(len(use.draws_from) for use in parts.uses)
    draws = [[*use.draws_from, *[NOWHERE] * (longest - len(use.draws_from))] for use in parts.uses]
    stores = range(len(parts.stores))
    held = [_wide(parts, [use.reserve_l.get(k, 0.0) for k in stores]) for use in parts.uses]
    most = MOST_STAGES if any(use.stages for use in parts.uses) else 0
    stages = [[*use.stages, *[(-1.0, 1.0)] * (most - len(use.stages))] for use in parts.uses]
    below = [_wide(parts, [at for at, _ in own]) for own in stages]
    return {
        "demand_l": _by_day(use.demand_l for use in parts.uses),
        "scale": _wide(parts, [use.scale for use in parts.uses]),
        "draw": np.array(draws, dtype=np.int64),
        "reserve_l": np.stack(held),
        "stage_below_l": np.stack(below),
        "stage_share": np.array([[share for _, share in own] for own in stages], dtype=float),
        "fallback": _whole(use.fallback for use in parts.uses),
    }


def _lifts_and_trucks(parts):
    lifts, trucks = parts.lifts, parts.trucks
    return {
        "lift_from": _whole(lift.source for lift in lifts),
        "lift_to": _whole(lift.target for lift in lifts),
        "lift_limit_l": _wide(parts, [lift.limit_l for lift in lifts]),
        "lift_source_start_l": _wide(parts, [lift.source_start_l for lift in lifts]),
        "lift_source_stop_l": _wide(parts, [lift.source_stop_l for lift in lifts]),
        "lift_target_start_l": _wide(parts, [lift.target_start_l for lift in lifts]),
        "lift_target_stop_l": _wide(parts, [lift.target_stop_l for lift in lifts]),
        "truck_to": _whole(truck.to for truck in trucks),
        "truck_lead": np.array([float(truck.lead_days) for truck in trucks]),
        "truck_load_l": _wide(parts, [truck.load_l for truck in trucks]),
        "truck_order_l": _wide(parts, [truck.order_below_l for truck in trucks]),
    }


def _wide(parts, values):
    rows = [np.broadcast_to(np.asarray(value, dtype=float), parts.lanes) for value in values]
    return np.array(rows, dtype=float).reshape(len(rows), parts.lanes)


def _by_day(columns):
    return np.ascontiguousarray(np.array([list(c) for c in columns], dtype=float).T)


def _whole(values):
    return np.array(list(values), dtype=np.int64)


def drawn(seed, *, lanes=None, days=None):
    """Parts drawn at random: any links downhill, lifts either way, rations, trucks, years."""
    rng = np.random.default_rng(seed)
    lanes = int(rng.integers(1, 41)) if lanes is None else lanes
    days = int(rng.integers(20, 200)) if days is None else days
    stores = _drawn_stores(rng, lanes, days)
    reads = np.arange(days)[:, None]
    if rng.random() < 0.4:
        reads = rng.integers(0, days, size=(days, lanes))
    return Parts(
        stores=stores,
        roofs=[_drawn_roof(rng, lanes, days, len(stores)) for _ in range(rng.integers(1, 4))],
        uses=[_drawn_use(rng, lanes, days, stores) for _ in range(rng.integers(1, 5))],
        lifts=[_drawn_lift(rng, lanes, stores) for _ in range(rng.integers(0, 3))],
        trucks=[_drawn_truck(rng, lanes, stores) for _ in range(rng.integers(0, 3))],
        rule=str(rng.choice(["yas", "ybs"])),
        lanes=lanes,
        reads=reads,
        new_year=rng.random(days) < 0.03,
    )


def _drawn_stores(rng, lanes, days):
    stores, rank = [], rng.permutation(rng.integers(1, 5))
    with_loss = rng.random() < 0.5
    for k in range(rank.size):
        below = [j for j in range(rank.size) if rank[j] > rank[k]]
        spills_to = int(rng.choice(below)) if below and rng.random() < 0.6 else NOWHERE
        capacity = rng.uniform(0.0, 900.0, lanes)
        loss = tuple(rng.uniform(0.0, 8.0, days)) if with_loss else ()
        stores.append(Store(capacity, rng.random(lanes) * capacity, spills_to, loss))
    return stores


def _drawn_roof(rng, lanes, days, stores):
    rain = rng.gamma(0.7, 9.0, days) * (rng.random(days) < 0.3)
    return Roof(rain, rng.uniform(5.0, 60.0, lanes), int(rng.integers(stores)))


def _drawn_use(rng, lanes, days, stores):
    draws_from = rng.permutation(len(stores))[: rng.integers(1, len(stores) + 1)]
    held = sum(stores[k].capacity_l for k in draws_from)
    steps = np.sort(rng.uniform(0.0, 1.0, rng.integers(0, MOST_STAGES + 1)))
    shares = np.sort(rng.uniform(0.0, 0.99, steps.size))
    return Use(
        demand_l=rng.uniform(0.0, 90.0, days) * (rng.random(days) < 0.8),
        draws_from=[int(k) for k in draws_from],
        scale=rng.uniform(0.0, 2.0, lanes) * (rng.random(lanes) < 0.9),
        reserve_l={int(k): rng.uniform(0.0, 150.0, lanes) for k in draws_from[:2]},
        stages=[(step * held, share) for step, share in zip(steps, shares, strict=True)],
        fallback=int(rng.integers(0, 3)),
    )


def _drawn_lift(rng, lanes, stores):
    """From the mains or any other store, so that some run against a spill."""
    target = int(rng.integers(len(stores)))
    others = [k for k in range(len(stores)) if k != target]
    source = int(rng.choice([NOWHERE, *others]))
    stop = rng.uniform(0.2, 1.0, lanes) * stores[target].capacity_l
    return Lift(
        source,
        target,
        stop,
        limit_l=rng.uniform(10.0, 200.0, lanes),
        source_start_l=rng.uniform(0.0, 120.0, lanes),
        source_stop_l=rng.uniform(0.0, 100.0, lanes),
        target_start_l=rng.uniform(0.3, 1.0, lanes) * stop,
    )


def _drawn_truck(rng, lanes, stores):
    loads, orders = rng.uniform(50.0, 300.0, lanes), rng.uniform(0.0, 300.0, lanes)
    return Truck(int(rng.integers(len(stores))), loads, orders, int(rng.integers(1, 8)))
