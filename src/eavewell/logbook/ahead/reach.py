"""How much may be used in a day so that the water lasts until a day: the run turned round."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from eavewell.faults import BadSite
from eavewell.logbook.ahead.basis import Basis
from eavewell.logbook.ahead.lanes import Group, Known, batch, held_in
from eavewell.logbook.ahead.supply import Supply, dry_by_day
from eavewell.logbook.ahead.years import Rows
from eavewell.site.rain_record import FloatArray
from eavewell.storage.series import uses_in_order

HALVINGS = 12


@dataclass(frozen=True, slots=True)
class Reach:
    """The most that may be used on every day alike.

    until  : the water lasts until this day, with no ration and no load but those stated.
    chance : asked for at most; is_chance : that of the use below, of the years tried.
    l_day  : of all uses together; by_use : of each, in proportion to its plan. None: even no use
             at all runs dry more often.
    each_l_day : of it for each person; None where the site names none.
    """

    until: date
    chance: float
    is_chance: float | None
    l_day: float | None
    by_use: dict[str, float]
    each_l_day: float | None


@dataclass(frozen=True, slots=True, eq=False)
class Toward:
    """What is run: rows (day, year) from today to the evening before the day to reach.

    starts_l : today's levels, (tank, start). l_day : plan of each use, in the order of service.
    """

    rows: Rows
    starts_l: FloatArray
    l_day: FloatArray
    known: tuple[Known, ...]
    every: tuple[Supply, ...]


def most_l_day(basis: Basis, to: Toward, *, chance: float) -> float | None:
    """The largest use that keeps the chance of running dry at or below `chance`.

    Every lane is halved down to the use at which it runs dry; of those the share of the chance
    may lie below the use that is found. None where nothing at all may be used.
    """
    flat = flat_use(basis, to.l_day)
    lanes = to.rows.shape[1] * to.starts_l.shape[1]
    low, high = np.zeros(lanes), np.full(lanes, _more_than_lasts(basis, to))
    whole = batch(flat, to.rows, groups=[_group(to)], known=to.known)
    tanks = _asked(to)
    for _ in range(HALVINGS):
        use = (low + high) / 2.0
        dry = dry_by_day(held_in(whole._replace(scale=whole.scale * use), tanks), to.every)[-1]
        low, high = np.where(dry, low, use), np.where(dry, use, high)
    borne = min(math.floor(chance * lanes + 1e-9), lanes - 1)
    most = float(np.sort(low)[borne])
    return most if most > 0.0 else None


def chance_at(basis: Basis, to: Toward, *, l_day: float) -> float:
    """Share of the lanes that run dry at this use on every day."""
    whole = batch(flat_use(basis, to.l_day), to.rows, groups=[_group(to)], known=to.known)
    held = held_in(whole._replace(scale=whole.scale * l_day), _asked(to))
    return float(dry_by_day(held, to.every)[-1].mean())


def _asked(to: Toward) -> list[int]:
    """The tanks that say whether a first use finds anything."""
    return sorted({at for one in to.every for stops in one.stops for at, _ in stops})


def flat_use(basis: Basis, l_day: FloatArray) -> Basis:
    """The same water with 1 L wanted on every day, shared among the uses as the plan shares it."""
    total = float(l_day.sum())
    shares = l_day / total if total > 0.0 else np.full(l_day.size, 1.0 / l_day.size)
    flat = np.tile(shares, (basis.water.days, 1))
    return replace(basis, water=replace(basis.water, demand_l=flat))


def reached(basis: Basis, to: Toward, *, until: date, chance: float, people: float | None) -> Reach:
    """The use that reaches a day at a chance.

    Raises BadSite for a chance that is none.
    """
    if not 0.0 <= chance < 1.0:
        raise BadSite(f"A chance of running dry of {chance:g} is none: 0 % to less than 100 %.")
    most = most_l_day(basis, to, chance=chance)
    if most is None:
        return Reach(until, chance, None, None, {}, None)
    shares = flat_use(basis, to.l_day).water.demand_l[0]
    names: Sequence[str] = [use.name for use in uses_in_order(basis.site)]
    by_use: Mapping[str, float] = dict(zip(names, (shares * most).tolist(), strict=True))
    each = most / people if people else None
    return Reach(until, chance, chance_at(basis, to, l_day=most), most, dict(by_use), each)


def _group(to: Toward) -> Group:
    return Group(np.ones(to.l_day.size), to.starts_l, stages=False, loads=False)


def _more_than_lasts(basis: Basis, to: Toward) -> float:
    """A use that no year bears: all that is held, and all that any year brings, in its days."""
    area = np.array([roof.plan_area_m2 for roof in basis.site.roofs if roof.drains_to])
    runoff = basis.water.runoff_mm[to.rows] @ area
    stated = sum(
        float(day.brought_l.sum()) + (0.0 if day.depth_mm is None else float(day.depth_mm @ area))
        for day in to.known
    )
    most = float(to.starts_l.sum(axis=0).max() + runoff.sum(axis=0).max() + stated)
    return 1.0 + most / int(to.rows.shape[0]) * 1.001
