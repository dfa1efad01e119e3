"""Running an arrangement of stores and closing its balance."""

from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from math import prod
from os import cpu_count
from typing import Any

import numpy as np

from eavewell.faults import EavewellFault
from eavewell.site.rain_record import FloatArray
from eavewell.storage.lanes import (
    LANE_ARRAYS,
    NO_LIMIT,
    NOWHERE,
    SHORT_SHARE,
    Arrangement,
    Kept,
    State,
    Sums,
)

# Lanes that stay in a core's cache together, a multiple of the widest vector.
CHUNK_LANES = 256
LANES_A_LINE = 8
THREADS_ABOVE_LANES = 150
# Days are read one by one where the record has more than so many times as many.
FEW_DAYS = 4
CLOSES_TO = 1e-9
TINY_L = 1e-9
_LANE_SUMS = (
    *("capacity_l", "area_m2", "start_l", "end_l", "inflow_l"),
    *("hauled_l", "mains_l", "away_l", "wanted_l", "error_l"),
    *("wanted_days", "any_wanted_days"),
)


class BalanceBroken(EavewellFault):
    """Water was made or lost in a run: a fault of the engine, never of the input."""


@dataclass(frozen=True, slots=True, eq=False)
class EveryDay:
    """One lane day by day.

    level_l, spilled_l, lost_l [day, store]; lifted_l [day, lift]; planned_l, supplied_l
    [day, use]; loads [day, truck]. The level is that of the evening, above dead storage.
    """

    level_l: FloatArray
    spilled_l: FloatArray
    lost_l: FloatArray
    lifted_l: FloatArray
    planned_l: FloatArray
    supplied_l: FloatArray
    loads: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Balance:
    """Sums over a run, every array with the lane last.

    spilled_l [store, lane] counts water passed to a store below too; away_l only what left.
    capacity_l [store, lane] and area_m2 [roof, lane] are what each lane was run with.
    mains_l  : mains water brought into stores, [lane]; make_up_l is what mains gave uses.
    error_l  : start + in - out - spilled - lost - end, [lane].
    evening_l: of a watched store, [day, what, lane]: level, spilled so far, supplied so far to all.
    """

    days: int
    capacity_l: FloatArray
    area_m2: FloatArray
    start_l: FloatArray
    end_l: FloatArray
    inflow_l: FloatArray
    hauled_l: FloatArray
    mains_l: FloatArray
    away_l: FloatArray
    wanted_l: FloatArray
    wanted_days: FloatArray
    any_wanted_days: FloatArray
    sums: Sums
    error_l: FloatArray
    every_day: EveryDay | None = None
    evening_l: FloatArray | None = None

    def lanes(self, first: int, last: int) -> "Balance":
        """The lanes from `first` up to, not including, `last`; no kept days."""
        own = {name: getattr(self, name)[..., first:last] for name in _LANE_SUMS}
        sums = Sums(*(array[..., first:last] for array in self.sums))
        return Balance(days=self.days, sums=sums, **own)

    @property
    def supplied_share(self) -> FloatArray:
        """Volumetric reliability of all uses together, [lane]; 1 where nothing is wanted."""
        wanted = self.wanted_l.sum(axis=0)
        return _share(self.sums.supplied_l.sum(axis=0), wanted)

    @property
    def spilled_share(self) -> FloatArray:
        """Share of all water that came in (runoff, loads, mains) that left by an overflow."""
        came = np.maximum(self.inflow_l + self.hauled_l + self.mains_l, TINY_L)
        share: FloatArray = np.minimum(self.away_l / came, 1.0)
        return share

    @property
    def use_supplied_share(self) -> FloatArray:
        """Volumetric reliability of each use, [use, lane]."""
        return _share(self.sums.supplied_l, self.wanted_l)

    @property
    def met_share(self) -> FloatArray:
        """Time reliability: of the days on which anything was wanted, share met in full, [lane]."""
        met: FloatArray = 1.0 - self.sums.cut_days / np.maximum(self.any_wanted_days, 1.0)
        return met

    @property
    def use_met_share(self) -> FloatArray:
        """Of the days on which each use wanted anything, share met in full, [use, lane]."""
        cut = self.sums.short_days + self.sums.rationed_days
        met: FloatArray = 1.0 - cut / np.maximum(self.wanted_days, 1.0)
        return met


def run_days(part: Arrangement, state: State, *, sums: Sums, kept: Kept) -> None:
    """Every day of the lanes, by the compiled loop; loaded when first needed, as it is slow to."""
    from eavewell.storage.kernel import run_days as compiled

    compiled(part, state, sums, kept)


def run(
    arrangement: Arrangement,
    *,
    keep_lane: int | None = None,
    watch: int | None = None,
    threads: int | None = None,
) -> Balance:
    """Run the arrangement over all its days and close the balance.

    keep_lane : lane whose every day is kept; None keeps none.
    watch     : store whose evenings are kept in every lane; None watches none.
    threads   : cores for many lanes; None takes all.

    Every lane is checked: start + in = out + spilled + lost + end to 1e-9 of what went in, with
    spill counted where it happens. Raises BalanceBroken where it does not close.
    """
    lanes = arrangement.capacity_l.shape[1]
    cores = threads or cpu_count() or 1
    pieces = _pieces(lanes, cores=cores)
    kept = _new_kept(arrangement, keep_lane)
    evenings = _new_evenings(arrangement, pieces, watch=watch)

    def one(piece: slice) -> tuple[State, Sums]:
        part = _cut(arrangement, piece)
        state, sums = _new_state(part), _new_sums(part)
        here = _kept_here(kept, piece)
        if watch is not None:
            here = here._replace(watched=watch, evening_l=evenings[piece.start])
        run_days(part, state, sums=sums, kept=here)
        return state, sums

    done = _map(one, pieces, cores=cores if lanes > THREADS_ABOVE_LANES else 1)
    ends = np.concatenate([state.level for state, _ in done], axis=-1)
    sums = Sums(
        *(np.concatenate(rows, axis=-1) for rows in zip(*(d[1] for d in done), strict=True))
    )
    balance = _closed(arrangement, ends, sums=sums, kept=kept)
    if watch is None:
        return balance
    return replace(balance, evening_l=np.concatenate(list(evenings.values()), axis=-1))


def _new_evenings(
    a: Arrangement, pieces: list[slice], *, watch: int | None
) -> dict[int, FloatArray]:
    """Room for the evenings of each piece of the lanes, by its first lane."""
    days = 0 if watch is None else a.day_row.shape[0]
    return {piece.start: np.zeros((days, 3, piece.stop - piece.start)) for piece in pieces}


def _pieces(lanes: int, *, cores: int) -> list[slice]:
    """Lanes that run together: even pieces for all cores where there are enough."""
    together = CHUNK_LANES
    if lanes > THREADS_ABOVE_LANES:
        even = -(-lanes // cores)
        together = min(CHUNK_LANES, -(-even // LANES_A_LINE) * LANES_A_LINE)
    return [slice(at, min(at + together, lanes)) for at in range(0, lanes, together)]


def _map(one: Any, pieces: list[slice], *, cores: int) -> list[tuple[State, Sums]]:
    if cores == 1:
        return [one(piece) for piece in pieces]
    with ThreadPoolExecutor(cores) as pool:
        return list(pool.map(one, pieces))


def aligned(shape: Iterable[int], value: float = 0.0) -> FloatArray:
    """A new array whose rows start on cache lines where the lanes allow it: twice as fast."""
    sizes = tuple(shape)
    count = prod(sizes)
    room = np.empty(count + 8)
    start = (-room.ctypes.data // 8) % 8
    array = room[start : start + count].reshape(sizes)
    array.fill(value)
    return array


def _cut(arrangement: Arrangement, piece: slice) -> Arrangement:
    new: dict[str, Any] = {}
    for name in LANE_ARRAYS:
        whole = getattr(arrangement, name)
        part = whole[..., piece]
        new[name] = aligned(part.shape)
        new[name][...] = part
    if arrangement.day_row.shape[1] > 1:
        new["day_row"] = np.ascontiguousarray(arrangement.day_row[:, piece])
    return arrangement._replace(**new)


def _new_state(a: Arrangement) -> State:
    (stores, lanes), uses, trucks = a.capacity_l.shape, a.draw.shape[0], a.truck_to.size
    level = aligned((stores, lanes))
    level[...] = a.start_l
    one = (lanes,)
    return State(
        level=level,
        left=aligned((stores, lanes), NO_LIMIT),
        want=aligned(one),
        need=aligned(one),
        share=aligned((uses, lanes), 1.0),
        cut=aligned(one),
        run=aligned((uses, lanes)),
        due=aligned((trucks, lanes), -1.0),
        loads_before=aligned((trucks, lanes)),
    )


def _new_sums(a: Arrangement) -> Sums:
    (stores, lanes), uses = a.capacity_l.shape, a.draw.shape[0]
    of_store, of_use, of_truck = (stores, lanes), (uses, lanes), (a.truck_to.size, lanes)
    return Sums(
        spilled_l=aligned(of_store),
        lost_l=aligned(of_store),
        lifted_l=aligned((a.lift_to.size, lanes)),
        supplied_l=aligned(of_use),
        make_up_l=aligned(of_use),
        short_days=aligned(of_use),
        rationed_days=aligned(of_use),
        longest_short_days=aligned(of_use),
        cut_days=aligned((lanes,)),
        loads=aligned(of_truck),
        worst_year_loads=aligned(of_truck),
    )


def _new_kept(a: Arrangement, lane: int | None) -> Kept:
    days = 0 if lane is None else a.day_row.shape[0]
    stores, uses = a.capacity_l.shape[0], a.draw.shape[0]
    lifts, trucks = a.lift_to.size, a.truck_to.size
    widths = (stores, stores, stores, lifts, uses, uses, trucks)
    arrays = (np.zeros((days, width)) for width in widths)
    at = NOWHERE if lane is None else lane
    return Kept._make((at, *arrays, NOWHERE, np.zeros((0, 3, 0))))


def _kept_here(kept: Kept, piece: slice) -> Kept:
    inside = piece.start <= kept.lane < piece.stop
    return kept._replace(lane=kept.lane - piece.start if inside else -1)


def row_counts(day_row: Any, rows: int) -> FloatArray:
    """How often each trace reads each row of the record, shape (trace, row)."""
    traces = range(day_row.shape[1])
    counts = np.empty((day_row.shape[1], rows))
    for trace in traces:
        counts[trace] = np.bincount(day_row[:, trace], minlength=rows)
    return counts


def _in_all(a: Arrangement) -> Callable[[Any], FloatArray]:
    """Adds up what each trace reads of a table with the record's rows, [column, trace]."""
    rows = a.runoff_mm.shape[0]
    if FEW_DAYS * a.day_row.shape[0] < rows:
        return lambda table: np.asarray(table[a.day_row].sum(axis=0)).T
    counts = row_counts(a.day_row, rows)
    return lambda table: np.asarray(counts @ table).T


def _closed(a: Arrangement, end_l: FloatArray, *, sums: Sums, kept: Kept) -> Balance:
    in_all, wants = _in_all(a), a.demand_l > 0.0
    inflow = (in_all(a.runoff_mm) * a.area_m2).sum(axis=0)
    wanted = in_all(a.demand_l) * a.scale
    hauled = (sums.loads * a.truck_load_l).sum(axis=0)
    mains = sums.lifted_l[a.lift_from < 0].sum(axis=0)
    away = sums.spilled_l[a.spill_to < 0].sum(axis=0)
    start = a.start_l.sum(axis=0)
    out = sums.supplied_l.sum(axis=0) + away + sums.lost_l.sum(axis=0)
    error = start + inflow + hauled + mains - out - end_l.sum(axis=0)
    went_in = start + inflow + hauled + mains
    if np.any(np.abs(error) > CLOSES_TO * np.maximum(went_in, 1.0)):
        worst = float(np.abs(error).max())
        raise BalanceBroken(f"the water balance does not close: {worst:.3g} L made or lost.")
    every_day = EveryDay(*kept[1:8]) if kept.lane >= 0 else None
    return Balance(
        days=a.day_row.shape[0],
        capacity_l=a.capacity_l,
        area_m2=a.area_m2,
        start_l=start,
        end_l=end_l,
        inflow_l=inflow,
        hauled_l=hauled,
        mains_l=mains,
        away_l=away,
        wanted_l=wanted,
        wanted_days=in_all(wants) * (a.scale > 0.0),
        any_wanted_days=in_all(wants.any(axis=1)) * (a.scale > 0.0).any(axis=0),
        sums=sums,
        error_l=error,
        every_day=every_day,
    )


def _share(part: FloatArray, whole: FloatArray) -> FloatArray:
    # Sums over many days miss or pass the whole by rounding; what is whole is shown as whole.
    is_whole = part >= whole * (1.0 - SHORT_SHARE)
    return np.where(is_whole, 1.0, part / np.where(is_whole, 1.0, whole))
