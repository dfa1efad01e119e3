"""The uses, the stores and their account as plain data."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from eavewell.answers.months import by_mains, levels, months
from eavewell.catchment.runoff import runoff_share
from eavewell.design import Design
from eavewell.site.tank import Tank
from eavewell.site.use import Use
from eavewell.storage.ensembles import Ensemble
from eavewell.storage.lanes import SHORT_SHARE
from eavewell.storage.reliability import Reliability, Shortfall, UseReliability
from eavewell.storage.series import drained_roofs, uses_in_order

Plain = dict[str, Any]


def demand(design: Design) -> list[Plain]:
    """Each use in the order of service: what it wants."""
    pairs = zip(uses_in_order(design.site), design.drawn.demand, strict=True)
    return [
        {
            "name": use.name,
            "class": use.end_use,
            "priority": use.priority,
            "mean_l_per_day": figures.mean_l_day,
            "peak_month_l_per_day": figures.peak_month_l_day,
            "peak_week_l_per_day": figures.peak_week_l_day,
            "peak_l_s": _peak_l_s(design, use),
        }
        for use, figures in pairs
    ]


def _peak_l_s(design: Design, use: Use) -> float | None:
    """Largest flow asked at once, as far as the site's lines tell: house, troughs, drip."""
    house = [
        line.peak.flow_l_s
        for line in design.served
        if use.end_use in ("drinking", "indoor") and line.line.source in use.draws_from
    ]
    troughs = [
        run.needs_l_s
        for line in design.gravity
        for run in line.troughs
        if run.trough.waters == use.name and run.needs_l_s is not None
    ]
    drip = [
        sum(run.half.plant_l_h) / 3600.0
        for line in design.gravity
        for run in line.laterals
        if run.lateral.waters == use.name
    ]
    known = [flow for flow in (*house, sum(troughs), *drip) if flow]
    return max(known, default=None)


def storage(design: Design) -> Plain:
    """The stores, their account and how well the uses were supplied."""
    found = design.drawn.reliability
    chosen = design.doubts.chosen if design.doubts else None
    ranges = (chosen.supplied_share, chosen.days_met_share) if chosen else (None, None)
    return {
        "rule": design.site.rule,
        "start": design.drawn.start,
        "stores": _stores(design),
        "supplied_share": found.supplied_share,
        "days_met_share": found.days_met_share,
        "spilled_share": found.spilled_share,
        "longest_short_days": found.longest.short_days if found.longest else 0,
        "longest_short": _shortfall(found.longest),
        "worst_short": _shortfall(found.worst),
        **_account(found),
        "uses": [_use(use) | _use_range(chosen, use.name) for use in found.uses],
        "range_90": {
            "supplied_share": [ranges[0].low, ranges[0].high] if ranges[0] else [],
            "days_met_share": [ranges[1].low, ranges[1].high] if ranges[1] else [],
        },
        "levels": levels(design),
        "months": months(design),
    }


def _stores(design: Design) -> list[Plain]:
    lowest = design.drawn.every_day.level_l.min(axis=0)
    return [
        {
            "name": tank.name,
            "count": tank.count,
            "capacity_l": tank.rim_l,
            "usable_l": tank.usable_l,
            "dead_l": tank.dead_storage_l,
            "is_sump": tank.is_sump,
            "lowest_l": float(lowest[k]),
            **_filled(design, tank),
        }
        for k, tank in enumerate(design.site.tanks)
    ]


def _filled(design: Design, tank: Tank) -> Plain:
    """What its own roofs bring it: how much rain fills it, and how often in a mean year."""
    roofs = drained_roofs(design.site)
    mine = [roof.drains_to == tank.name for roof in roofs]
    area_m2 = sum(roof.plan_area_m2 for roof, here in zip(roofs, mine, strict=True) if here)
    shed_m2 = sum(
        roof.plan_area_m2 * runoff_share(roof).value
        for roof, here in zip(roofs, mine, strict=True)
        if here
    )
    yearly_mm = design.water.runoff_mm.sum(axis=0) / (design.water.days / 365.25)
    came_l = sum(
        float(depth) * roof.plan_area_m2
        for depth, roof, here in zip(yearly_mm, roofs, mine, strict=True)
        if here
    )
    return {
        "roof_m2": area_m2,
        "fills_with_mm": tank.usable_l / shed_m2 if shed_m2 > 0.0 else None,
        "roof_l_per_year": came_l,
    }


def _account(found: Reliability) -> Plain:
    return {
        "start_l": found.start_l,
        "end_l": found.end_l,
        "make_up_l_per_year": found.make_up_l_year,
        "make_up_to_uses_l_per_year": sum(use.make_up_l_year for use in found.uses),
        "loads_per_year": found.loads_year,
        "loads_in_worst_year": found.worst_year_loads,
        "inflow_l_per_year": found.inflow_l_year,
        "supplied_l_per_year": sum(use.supplied_l_year for use in found.uses),
        "spilled_l_per_year": found.spilled_l_year,
        "lost_l_per_year": found.lost_l_year,
        "hauled_l_per_year": found.hauled_l_year,
        "balance_error_l": found.balance_error_l,
    }


def _use(use: UseReliability) -> Plain:
    longest, worst = _shortfall(use.longest), _shortfall(use.worst)
    return {
        "name": use.name,
        "supplied_share": use.supplied_share,
        "days_met_share": use.days_met_share,
        "wanted_l_per_year": use.wanted_l_year,
        "supplied_l_per_year": use.supplied_l_year,
        "make_up_l_per_year": use.make_up_l_year,
        "wanted_days": use.wanted_days,
        "full_days": use.full_days,
        "full_wanted_days": use.wanted_days - use.rationed_days - use.short_days,
        "rationed_days": use.rationed_days,
        "short_days": use.short_days,
        "longest_short_days": use.longest.short_days if use.longest else 0,
        "longest_short_from": longest["from"],
        "longest_short_to": longest["to"],
        "worst_short_from": worst["from"],
        "worst_short_to": worst["to"],
        "worst_short_missing_l": worst["missing_l"],
    }


def _use_range(chosen: Ensemble | None, name: str) -> Plain:
    if chosen is None:
        return {"range_90": {"supplied_share": [], "longest_short_days": []}}
    supplied, longest = chosen.uses_supplied[name], chosen.longest_short_days[name]
    return {
        "range_90": {
            "supplied_share": [supplied.low, supplied.high],
            "longest_short_days": [longest.low, longest.high],
        }
    }


def _shortfall(spell: Shortfall | None) -> Plain:
    if spell is None:
        return {"from": None, "to": None, "missing_l": 0.0}
    return {
        "from": spell.first.isoformat(),
        "to": spell.last.isoformat(),
        "missing_l": spell.missing_l,
    }


def years(design: Design) -> list[Plain]:
    """Every calendar year of the record."""
    year = design.water.dates.astype("datetime64[Y]").astype(np.int64) + 1970
    found, first, days = np.unique(year, return_index=True, return_counts=True)
    columns = {
        "year": found.tolist(),
        "days": days.tolist(),
        **{name: _in_years(values, first) for name, values in _sums(design).items()},
        "lowest_l": np.minimum.reduceat(design.drawn.every_day.level_l.sum(axis=1), first).tolist(),
    }
    counts = {name: map(int, columns[name]) for name in ("short_days", "loads")}
    rows = zip(*(columns | counts).values(), strict=True)
    return [dict(zip(columns, row, strict=True)) for row in rows]


def _sums(design: Design) -> dict[str, NDArray[Any]]:
    """What is added up over each year, [day] or [day, part]."""
    every, mains = design.drawn.every_day, by_mains(design)
    stores = {tank.name for tank in design.site.tanks}
    away = [k for k, tank in enumerate(design.site.tanks) if tank.overflow_to not in stores]
    missing = every.planned_l - every.supplied_l
    short = (missing > SHORT_SHARE * every.planned_l).any(axis=1)
    return {
        "rain_mm": design.weather.days.rain_mm,
        "wanted_l": every.planned_l,
        "supplied_l": every.supplied_l,
        "make_up_l": missing[:, mains],
        "short_l": missing[:, ~mains],
        "short_days": np.asarray(short, dtype=np.int64),
        "loads": every.loads,
        "spilled_l": every.spilled_l[:, away],
    }


def _in_years(values: NDArray[Any], first: NDArray[np.intp]) -> list[float]:
    """The sum over each year, of all parts; first : the row of each year's first day."""
    parts = values.reshape(values.shape[0], -1).shape[1]
    if parts == 0:
        return [0.0] * first.size
    flat = np.ascontiguousarray(values).reshape(-1)
    summed: list[float] = np.add.reduceat(flat, first * parts).tolist()
    return summed
