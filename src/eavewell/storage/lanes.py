"""What the engine works on: the arrangement of stores, the state of a day and the sums of a run.

Every array has its lane axis last; a lane is one size, one trace or one site among many that run
side by side.
"""

from typing import Any, NamedTuple

from eavewell.site import reserve

NOWHERE = -1
FALLBACK_NONE, FALLBACK_MAINS, FALLBACK_HAULED = 0, 1, 2
NO_LIMIT = 1e300
MOST_STAGES = reserve.MOST_STAGES
# Rounding alone must not make a day short.
SHORT_SHARE = 1e-9


class Arrangement(NamedTuple):
    """Stores, roofs, lifts, uses and trucks as arrays; the lane axis is last.

    A row is a day of the record; day_row[day, trace] says which row each day of a run reads, with
    one trace for all lanes or one a lane. Volumes lie above the dead storage.

    runoff_mm[row, roof], area_m2[roof, lane], roof_to[roof]
    demand_l[row, use], scale[use, lane], draw[use, turn] (NOWHERE ends the list)
    capacity_l[store, lane], start_l[store, lane], spill_to[store], uphill_first[turn]
    loss_l[row, store]
    lift_from, lift_to[lift]; limit, start and stop volumes [lift, lane]
    reserve_l[use, store, lane]; stage_below_l[use, stage, lane] rising, stage_share[use, stage]
        (MOST_STAGES of them, unused ones last with share 1; no stage at all where no use has one)
    fallback[use]; truck_to, truck_lead[truck]; truck_load_l, truck_order_l[truck, lane]
    new_year[day]; ybs: 1 for yield before spillage, 0 for yield after spillage
    """

    day_row: Any
    runoff_mm: Any
    area_m2: Any
    roof_to: Any
    demand_l: Any
    scale: Any
    draw: Any
    capacity_l: Any
    start_l: Any
    spill_to: Any
    uphill_first: Any
    loss_l: Any
    lift_from: Any
    lift_to: Any
    lift_limit_l: Any
    lift_source_start_l: Any
    lift_source_stop_l: Any
    lift_target_start_l: Any
    lift_target_stop_l: Any
    reserve_l: Any
    stage_below_l: Any
    stage_share: Any
    fallback: Any
    truck_to: Any
    truck_lead: Any
    truck_load_l: Any
    truck_order_l: Any
    new_year: Any
    ybs: int


class State(NamedTuple):
    """What a day works on, [store, lane], [use, lane], [truck, lane] or [lane].

    left is what draws may still take of each store today; due counts nights to a truck's arrival;
    loads_before are those of the years before this one.
    """

    level: Any
    left: Any
    want: Any
    need: Any
    share: Any
    cut: Any
    run: Any
    due: Any
    loads_before: Any


class Sums(NamedTuple):
    """Running sums of a run, [store, lane], [lift, lane], [use, lane] or [truck, lane]."""

    spilled_l: Any
    lost_l: Any
    lifted_l: Any
    supplied_l: Any
    make_up_l: Any
    short_days: Any
    rationed_days: Any
    longest_short_days: Any
    cut_days: Any
    loads: Any
    worst_year_loads: Any


class Kept(NamedTuple):
    """Every day of one chosen lane; arrays of no days where none is kept.

    level_l, spilled_l, lost_l [day, store]; planned_l, supplied_l [day, use]; loads [day, truck];
    lifted_l [day, lift].
    watched   : a store whose evenings are kept in every lane; NOWHERE for none.
    evening_l : [day, what, lane]: its level, what it spilled so far, what all uses got so far.
    """

    lane: int
    level_l: Any
    spilled_l: Any
    lost_l: Any
    lifted_l: Any
    planned_l: Any
    supplied_l: Any
    loads: Any
    watched: int
    evening_l: Any


LANE_ARRAYS = (
    "area_m2",
    "scale",
    "capacity_l",
    "start_l",
    "lift_limit_l",
    "lift_source_start_l",
    "lift_source_stop_l",
    "lift_target_start_l",
    "lift_target_stop_l",
    "reserve_l",
    "stage_below_l",
    "truck_load_l",
    "truck_order_l",
)
