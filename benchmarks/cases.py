"""What is run: one store in many sizes, and a general arrangement; the rain is invented."""

import numpy as np

from eavewell.storage.lanes import (
    FALLBACK_HAULED,
    FALLBACK_NONE,
    MOST_STAGES,
    NOWHERE,
    Arrangement,
)

DAYS = 29_200  # 80 years
MAIN, EAST, HEADER = 0, 1, 2


def one_store(lanes, days=DAYS):
    """A roof of 180 m2, 330 L a day, tanks from 1,000 to 90,000 L."""
    rain_mm, _ = _weather(days)
    none = np.empty((0, lanes))
    return Arrangement(
        **_calendar(days),
        runoff_mm=rain_mm[:, None].copy(),
        area_m2=np.full((1, lanes), 180.0),
        roof_to=_whole(0),
        demand_l=np.full((days, 1), 330.0),
        scale=np.ones((1, lanes)),
        draw=np.zeros((1, 1), dtype=np.int64),
        capacity_l=np.linspace(1_000.0, 90_000.0, lanes)[None, :],
        start_l=np.zeros((1, lanes)),
        spill_to=_whole(NOWHERE),
        uphill_first=_whole(0),
        loss_l=np.empty((days, 0)),
        reserve_l=np.full((1, 1, lanes), 200.0),
        stage_below_l=np.empty((1, 0, lanes)),
        stage_share=np.empty((1, 0)),
        fallback=_whole(FALLBACK_NONE),
        **_lifts(none, none),
        **_trucks(none, none),
    )


def general(lanes, days=DAYS):
    """Three stores, two roofs, two lifts, four uses with reserves, rations on two, a truck.

    The east tank spills to the main one; a lift empties it into the main one and another tops up
    a header tank that feeds the garden. Household rations in two stages, the garden in one.
    """
    rain_mm, warmth = _weather(days)
    main = np.linspace(8_000.0, 90_000.0, lanes)
    capacity = np.stack([main, np.full(lanes, 6_000.0), np.full(lanes, 1_500.0)])
    demand = [330.0 + 0 * warmth, 90.0 * warmth, 40.0 + 0 * warmth, 260.0 * np.maximum(warmth, 0.2)]
    return Arrangement(
        **_calendar(days),
        runoff_mm=np.stack([rain_mm, 0.9 * rain_mm], axis=1),
        area_m2=np.stack([np.full(lanes, 180.0), np.full(lanes, 110.0)]),
        roof_to=_whole(MAIN, EAST),
        demand_l=np.ascontiguousarray(np.stack(demand, axis=1)),
        scale=np.ones((4, lanes)),
        capacity_l=capacity,
        start_l=0.5 * capacity,
        spill_to=_whole(NOWHERE, MAIN, NOWHERE),
        uphill_first=_whole(EAST, HEADER, MAIN),
        loss_l=np.empty((days, 0)),
        **_four_uses(lanes, main),
        **_two_lifts(lanes, capacity),
        **_trucks(np.full((1, lanes), 7_500.0), np.full((1, lanes), 4_000.0), to=_whole(MAIN)),
    )


def _four_uses(lanes, main):
    """Household, animals, washing, garden."""
    reserve = np.zeros((4, 3, lanes))
    reserve[1:, MAIN] = np.array([500.0, 1_500.0, 3_000.0])[:, None]
    below = np.full((4, MOST_STAGES, lanes), -1.0)
    share = np.ones((4, MOST_STAGES))
    below[0, 0], below[0, 1], below[3, 0] = 0.15 * main, 0.3 * main, 0.4 * (main + 1_500.0)
    share[0, :2], share[3, 0] = (0.5, 0.75), 0.3
    return {
        "draw": np.array([[MAIN, EAST], [MAIN, NOWHERE], [EAST, MAIN], [HEADER, MAIN]]),
        "reserve_l": reserve,
        "stage_below_l": below,
        "stage_share": share,
        "fallback": _whole(FALLBACK_HAULED, FALLBACK_NONE, FALLBACK_NONE, FALLBACK_NONE),
    }


def _two_lifts(lanes, capacity):
    stop, limit = capacity[[MAIN, HEADER]], np.full((2, lanes), 3_000.0)
    return _lifts(limit, stop, source=_whole(EAST, MAIN), target=_whole(MAIN, HEADER))


def _lifts(limit, stop, *, source=None, target=None):
    none = _whole()
    return {
        "lift_from": none if source is None else source,
        "lift_to": none if target is None else target,
        "lift_limit_l": limit,
        "lift_source_start_l": 0.0 * stop,
        "lift_source_stop_l": 0.0 * stop,
        "lift_target_start_l": 0.8 * stop,
        "lift_target_stop_l": stop,
    }


def _trucks(load, order, *, to=None):
    return {
        "truck_to": _whole() if to is None else to,
        "truck_lead": np.full(len(load), 4.0),
        "truck_load_l": load,
        "truck_order_l": order,
    }


def _calendar(days):
    days_of = np.arange(days)
    return {
        "day_row": days_of.astype(np.int32)[:, None],
        "new_year": (days_of % 365 == 0) & (days_of > 0),
        "ybs": 0,
    }


def _weather(days):
    """Invented: rain on a fifth of the days; warmth from 0 in winter to 1 in summer."""
    rng = np.random.default_rng(1)
    rain_mm = rng.gamma(0.7, 14.0, days) * (rng.random(days) < 0.2)
    warmth = np.clip(np.sin((np.arange(days) % 365) / 365 * 2 * np.pi - 1.4), 0.0, 1.0)
    return rain_mm, warmth


def _whole(*values):
    return np.array(values, dtype=np.int64)
