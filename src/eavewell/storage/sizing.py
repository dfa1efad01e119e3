"""How large the tank must be: the whole curve, the smallest that meets the goal, and what limits.

One batch runs every tank size, every roof area and every daily use side by side; a second one
closes in on the three answers.
"""

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.storage.arrangement import (
    Lanes,
    arrange,
    lanes_as_drawn,
    side_by_side,
    spread,
    with_store,
)
from eavewell.storage.balance import Balance
from eavewell.storage.goals import all_reached, measured
from eavewell.storage.in_service import run_in_service
from eavewell.storage.sequent_peak import sequent_peak
from eavewell.storage.series import Series
from eavewell.tables import table
from eavewell.units import read

Limiting = Literal["roof", "tank", "use"]

CURVE_SIZES = 200
CLOSER = 64
MORE_TANK_L = read("1,000 gal", "volume")
MORE_ROOF_M2 = read("100 ft2", "area")


@dataclass(frozen=True, slots=True, eq=False)
class Curve:
    """Reliability by tank size, each array of shape (size,); capacity_l is usable volume.

    longest_short_days : the longest run of short days of any one use.
    """

    capacity_l: FloatArray
    supplied_share: FloatArray
    days_met_share: FloatArray
    spilled_share: FloatArray
    longest_short_days: FloatArray
    reaches_goal: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Sizing:
    """What the system would be at other sizes, in usable litres of the store that is varied.

    smallest_l    : smallest usable volume that meets all goals; None where none does.
    smallest_roof_m2, most_use_l_day : the same for all roofs together (grown in proportion) and
                    for all uses together; None where none does.
    steady_l      : usable volume from which on every larger size tried meets the goals too; ration
                    stages and hauled loads may let a larger tank miss what a smaller one meets.
    no_fail_l     : by the sequent peak method, without losses; None where nothing carries over.
    more_tank_l_year, more_roof_l_year : litres of rain a year gained by 1,000 gal and 100 ft2 more.
    meets_goal    : the system as drawn.
    goals_measured: what each goal of the site measures in the system as drawn.
    """

    store: str
    curve: Curve
    smallest_l: float | None
    smallest_roof_m2: float | None
    most_use_l_day: float | None
    steady_l: float | None
    no_fail_l: float | None
    more_tank_l_year: float
    more_roof_l_year: float
    limiting: Limiting
    meets_goal: bool
    goals_measured: tuple[float, ...]


def varied_store(site: Site) -> int:
    """The store whose size is sought: the largest that a use draws from, or a lift, but no sump."""
    return max(_drawn_stores(site), key=lambda store: site.tanks[store].usable_l, default=0)


def _drawn_stores(site: Site) -> list[int]:
    """The stores that a use or a lift draws from, sumps apart."""
    drawn = {name for use in site.uses for name in use.draws_from}
    drawn |= {lift.source for lift in site.lifts}
    return [k for k, tank in enumerate(site.tanks) if tank.name in drawn and not tank.is_sump]


def size_system(site: Site, series: Series) -> Sizing:
    """Run the site at many sizes and say which is the smallest that meets every goal."""
    store, drawn = varied_store(site), lanes_as_drawn(site)
    sizes = _sizes(site, series, store=store)
    factors = np.concatenate((np.geomspace(0.1, 1.0, 20)[:-1], np.geomspace(1.0, 8.0, 21)))
    groups = {
        "drawn": drawn,
        "size": with_store(drawn, store, usable_l=sizes),
        "roof": _with_roof(drawn, factors),
        "use": _with_use(drawn, factors),
        "more tank": with_store(drawn, store, usable_l=drawn.usable_l[store] + MORE_TANK_L),
        "more roof": _with_more_roof(drawn),
        "twice": _twice(drawn, _drawn_stores(site)),
    }
    first = _run(site, series, groups=groups)
    met = {name: all_reached(site, balance) for name, balance in first.items()}
    closer = {
        "size": _between(sizes, met["size"]),
        "roof": _between(factors, met["roof"]),
        "use": _between(factors[::-1], met["use"][::-1]),
    }
    exact = _close_in(site, series, drawn=drawn, closer=closer, store=store)
    return _sizing(site, series, first=first, met=met, exact=exact)


def _sizes(site: Site, series: Series, *, store: int) -> FloatArray:
    inflow = series.runoff_mm @ lanes_as_drawn(site).area_m2[:, 0]
    wanted = series.demand_l.sum(axis=1)
    no_fail = sequent_peak(inflow, wanted).volume_l
    years_of_use = table("sizing")["largest years of use"].value * 365.25 * float(wanted.mean())
    enough = min(1.1 * no_fail, years_of_use) if no_fail else years_of_use
    largest = max(table("sizing")["largest of drawn"].value * site.tanks[store].usable_l, enough)
    grid = np.concatenate(([0.0], np.geomspace(largest / 2000.0, largest, CURVE_SIZES - 1)))
    return np.unique(np.append(grid, site.tanks[store].usable_l))


def _with_roof(lanes: Lanes, factors: FloatArray) -> Lanes:
    return replace(spread(lanes, factors.size), area_m2=lanes.area_m2[:, :1] * factors)


def _with_use(lanes: Lanes, factors: FloatArray) -> Lanes:
    return replace(spread(lanes, factors.size), scale=lanes.scale[:, :1] * factors)


def _with_more_roof(lanes: Lanes) -> Lanes:
    area = lanes.area_m2[:, :1].copy()
    if area.size:
        area[int(np.argmax(area))] += MORE_ROOF_M2
    return replace(spread(lanes, 1), area_m2=area)


def _twice(lanes: Lanes, stores: list[int]) -> Lanes:
    """Twice each store in a lane of its own, then twice the roof in the last."""
    tanks = [with_store(lanes, k, usable_l=2.0 * lanes.usable_l[k, :1]) for k in stores]
    return side_by_side(*tanks, _with_roof(lanes, np.array([2.0])))


def _run(site: Site, series: Series, *, groups: dict[str, Lanes]) -> dict[str, Balance]:
    """All groups in one batch, cut apart again."""
    whole = run_in_service(site, arrange(site, series, lanes=side_by_side(*groups.values())))
    out, at = {}, 0
    for name, lanes in groups.items():
        out[name] = whole.lanes(at, at + lanes.count)
        at += lanes.count
    return out


def _between(values: FloatArray, met: NDArray[np.bool_]) -> FloatArray:
    """Finer values between the first that meets the goals and the one before it.

    values run from hard to easy; one value where none meets, or the hardest does.
    """
    meeting = np.flatnonzero(met)
    if meeting.size == 0:
        return values[-1:]
    at = int(meeting[0])
    return values[:1] if at == 0 else np.linspace(values[at - 1], values[at], CLOSER)


def _close_in(
    site: Site, series: Series, *, drawn: Lanes, closer: dict[str, FloatArray], store: int
) -> dict[str, float | None]:
    groups = {
        "size": with_store(drawn, store, usable_l=closer["size"]),
        "roof": _with_roof(drawn, closer["roof"]),
        "use": _with_use(drawn, closer["use"]),
    }
    out: dict[str, float | None] = {}
    for name, balance in _run(site, series, groups=groups).items():
        meeting = np.flatnonzero(all_reached(site, balance))
        out[name] = float(closer[name][meeting[0]]) if meeting.size else None
    return out


def _sizing(
    site: Site,
    series: Series,
    *,
    first: dict[str, Balance],
    met: dict[str, NDArray[np.bool_]],
    exact: dict[str, float | None],
) -> Sizing:
    roof_m2 = float(first["drawn"].area_m2.sum())
    use_l_day = float(series.demand_l.mean(axis=0).sum())
    inflow = series.runoff_mm @ lanes_as_drawn(site).area_m2[:, 0]
    return Sizing(
        store=site.tanks[varied_store(site)].name,
        curve=_curve(first["size"], varied_store(site), met=met["size"]),
        smallest_l=exact["size"],
        smallest_roof_m2=_times(exact["roof"], roof_m2),
        most_use_l_day=_times(exact["use"], use_l_day),
        steady_l=_steady(first["size"].capacity_l[varied_store(site)], met["size"]),
        no_fail_l=sequent_peak(inflow, series.demand_l.sum(axis=1)).volume_l,
        more_tank_l_year=_gain(first["more tank"], first["drawn"]),
        more_roof_l_year=_gain(first["more roof"], first["drawn"]),
        limiting=_limiting(first["drawn"], first["twice"]),
        meets_goal=bool(met["drawn"][0]),
        goals_measured=tuple(
            float(measured(goal, site, balance=first["drawn"])[0]) for goal in site.goals
        ),
    )


def _curve(balance: Balance, store: int, *, met: NDArray[np.bool_]) -> Curve:
    return Curve(
        capacity_l=balance.capacity_l[store],
        supplied_share=balance.supplied_share,
        days_met_share=balance.met_share,
        spilled_share=balance.spilled_share,
        longest_short_days=balance.sums.longest_short_days.max(axis=0),
        reaches_goal=met,
    )


def _rain_supplied(balance: Balance) -> FloatArray:
    """What the uses got of rain, [lane]: trucks and mains bring the rest."""
    supplied: FloatArray = balance.sums.supplied_l.sum(axis=0)
    return supplied - balance.hauled_l - balance.mains_l


def _gain(more: Balance, drawn: Balance) -> float:
    years = drawn.days / 365.25
    return float((_rain_supplied(more) - _rain_supplied(drawn)).sum() / years)


def _limiting(drawn: Balance, twice: Balance) -> Limiting:
    """What removes more of the missing or hauled water when doubled: a store, roof, or neither."""
    rain = float(_rain_supplied(drawn).sum())
    missing = float(drawn.wanted_l.sum()) - rain
    gained = _rain_supplied(twice) - rain
    if missing <= 0.0 or float(gained.max()) < table("sizing")["helps from"].value * missing:
        return "use"
    return "tank" if gained[:-1].max(initial=-np.inf) >= gained[-1] else "roof"


def _steady(sizes: FloatArray, met: NDArray[np.bool_]) -> float | None:
    """The size from which on every larger size tried meets the goals; None where none does."""
    failing = np.flatnonzero(~met)
    at = int(failing[-1]) + 1 if failing.size else 0
    return float(sizes[at]) if at < met.size else None


def _times(factor: float | None, amount: float) -> float | None:
    return None if factor is None else factor * amount
