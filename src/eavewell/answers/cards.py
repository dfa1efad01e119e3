"""What hangs on the wall, as plain data: the stick of each tank, ration stages, when to order."""

import math
from dataclasses import dataclass
from typing import Any

from eavewell.catchment.runoff import runoff_share
from eavewell.design import Design
from eavewell.site.hauling import Hauling
from eavewell.site.lift import Lift
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.site.use import Use
from eavewell.storage.order_level import bought_floor_l, order_level_l
from eavewell.storage.series import drained_roofs, uses_in_order
from eavewell.storage.stick import (
    Draw,
    below_l,
    days_between,
    draws_from,
    fire_reserve_l,
    held_l,
    level_m,
    lowest_l,
    rationless,
)
from eavewell.tables import table

Plain = dict[str, Any]
# marks of a stick, and how its step is called
EVERY_M = {"6 in": 0.1524, "10 cm": 0.1}
THUMB_M = {"1 in": 0.0254, "2 cm": 0.02}
RAINS_MM = {"inch": 25.4, "ten_mm": 10.0}


@dataclass(frozen=True, slots=True)
class _At:
    """A tank with what draws from it on a mean day, and in the highest month with its stages."""

    tank: Tank
    mean: tuple[Draw, ...]
    peak: tuple[Draw, ...]

    @property
    def floor_l(self) -> float:
        return lowest_l(self.tank, self.mean)

    def days(self, at_l: float) -> Plain:
        ways = {"": rationless(self.mean), "peak_": rationless(self.peak), "rationed_": self.peak}
        low_l = self.floor_l
        return {
            f"{name}days": days_between(draws, max(at_l, low_l), low_l=low_l)
            if any(draw.l_day for draw in draws)
            else None
            for name, draws in ways.items()
        }


def cards_answer(design: Design) -> Plain:
    """Every tank that is no sump, and every ration stage."""
    site = design.site
    figures = {
        use.name: one for use, one in zip(uses_in_order(site), design.drawn.demand, strict=True)
    }
    mean = {name: one.mean_l_day for name, one in figures.items()}
    peak = {name: one.peak_month_l_day for name, one in figures.items()}
    tanks = [tank for tank in site.tanks if not tank.is_sump]
    at = [
        _At(tank, draws_from(site, tank, l_day=mean), draws_from(site, tank, l_day=peak))
        for tank in tanks
    ]
    return {
        "tanks": [_tank(site, one, peak=peak) for one in at],
        "stages": [
            _stage(site, use, number=n, l_day=peak) for use in site.uses for n in _ranked(use)
        ],
        "boil_minutes": _boil_minutes(site.place.elevation_m),
    }


def _boil_minutes(elevation_m: float | None) -> float:
    """Longer where water boils cooler; the longer where the height is unknown."""
    figures = table("boiling")
    high = elevation_m is None or elevation_m > figures["high from"].value
    return figures["minutes high" if high else "minutes"].value


def _tank(site: Site, at: _At, *, peak: dict[str, float]) -> Plain:
    tank = at.tank
    return {
        "name": tank.name,
        "count": tank.count,
        "shape_known": tank.shape is not None,
        "rim_m": tank.shape.height_m if tank.shape else None,
        "full_m": level_m(tank, tank.usable_l),
        "full_l": tank.full_l,
        "dead_m": level_m(tank, 0.0),
        "dead_l": tank.dead_storage_l,
        "fire_reserve_l": fire_reserve_l(tank),
        "fire_held_by": tank.fire_reserve.held_by if tank.fire_reserve else "",
        "overflow_to": tank.overflow_to,
        "mean_l_per_day": sum(draw.l_day for draw in at.mean),
        "peak_l_per_day": sum(draw.l_day for draw in at.peak),
        "drawn_by": [draw.name for draw in at.mean],
        "also_from": sorted(
            {name for use in site.uses if tank.name in use.draws_from for name in use.draws_from}
            - {tank.name}
        ),
        **_rains(site, at),
        **_evenly(tank),
        "stick": [mark for every in EVERY_M for mark in _stick(at, every)],
        "tape": [mark for every in THUMB_M for mark in _tape(tank, every)],
        "bands": _bands(site, at),
        "trucks": [
            _truck(site, at, truck=truck, l_day=peak)
            for truck in site.hauling
            if truck.to == tank.name
        ],
    }


def _rains(site: Site, at: _At) -> Plain:
    """What a rain on its roofs brings, sumps lifted into it too; first flush, spills left out."""
    lifts = _sumps_lifts(site, at.tank)
    into = {at.tank.name, *(lift.source for lift in lifts)}
    roofs = [roof for roof in drained_roofs(site) if roof.drains_to in into]
    shed_m2 = sum(roof.plan_area_m2 * runoff_share(roof).value for roof in roofs)
    use_l_day = sum(draw.l_day for draw in at.mean)
    found: Plain = {"rain_lifted_by": [lift.name for lift in lifts]}
    for name, depth_mm in RAINS_MM.items():
        brought_l = shed_m2 * depth_mm if shed_m2 else None
        found[f"{name}_of_rain_l"] = brought_l
        found[f"{name}_of_rain_days"] = brought_l / use_l_day if brought_l and use_l_day else None
    return found


def _sumps_lifts(site: Site, tank: Tank) -> list[Lift]:
    """The lifts that bring a tank the rain of sumps, one behind the other too."""
    sumps = {one.name for one in site.tanks if one.is_sump}
    return [
        lift
        for lift in site.lifts
        if lift.source in sumps
        and (
            lift.target == tank.name
            or (lift.target in sumps and tank.name in site.fed_from(lift.target))
        )
    ]


def _evenly(tank: Tank) -> Plain:
    """Volume of each mark where it is the same from floor to rim; None where it changes."""
    if tank.shape is None:
        return {"even_l_per_cm": None, "even_l_per_inch": None}
    high_m = tank.shape.height_m
    whole = tank.count * tank.shape.volume_l(high_m) / high_m
    tenths = [tank.count * tank.shape.volume_l(high_m * n / 10.0) for n in range(11)]
    even = all(math.isclose(tenths[n], whole * high_m * n / 10.0, rel_tol=1e-6) for n in range(11))
    return {
        "even_l_per_cm": whole * 0.01 if even else None,
        "even_l_per_inch": whole * 0.0254 if even else None,
    }


def _stick(at: _At, every: str) -> list[Plain]:
    """The marks from the floor to the rim at one step; the volume up to each from the one below."""
    shape, step_m = at.tank.shape, EVERY_M[every]
    if shape is None:
        return []
    last = math.floor(shape.height_m / step_m + 1e-9)
    depths = [n * step_m for n in range(last + 1)]
    total = [at.tank.count * shape.volume_l(depth) for depth in depths]
    below = [total[0], *total[:-1]]
    return [
        {
            "every": every,
            "depth_m": depth,
            "total_l": here,
            "usable_l": max(held_l(at.tank, depth) - at.floor_l, 0.0),
            "l_per_cm": (here - under) / (step_m * 100.0),
            "l_per_inch": (here - under) / (step_m / 0.0254),
            **at.days(held_l(at.tank, depth)),
        }
        for depth, here, under in zip(depths, total, below, strict=True)
    ]


def _tape(tank: Tank, every: str) -> list[Plain]:
    """Marks a thumb's width apart, for a tape beside the sight tube."""
    shape, step_m = tank.shape, THUMB_M[every]
    if shape is None:
        return []
    depths = [n * step_m for n in range(math.floor(shape.height_m / step_m + 1e-9) + 1)]
    return [
        {"every": every, "depth_m": depth, "total_l": tank.count * shape.volume_l(depth)}
        for depth in depths
    ]


def _bands(site: Site, at: _At) -> list[Plain]:
    """Levels that mean something, the highest first."""
    tank = at.tank
    found: list[tuple[str, str, float, float | None]] = [("full", "", tank.usable_l, None)]
    for use in site.uses:
        if use.draws_from == (tank.name,):
            found += [
                ("ration", use.name, below_l(stage, tank), stage.share)
                for stage in use.stages
                if stage.share < 1.0
            ]
            if use.reserve:
                found.append(("stops", use.name, use.reserve.litres(tank.usable_l), None))
    found += [
        ("stops", lift.name, lift.source_stop_l, None)
        for lift in site.lifts
        if lift.source == tank.name and lift.source_stop_l
    ]
    if fire_reserve_l(tank):
        found.append(("fire reserve", "", fire_reserve_l(tank), None))
    if tank.dead_storage_l:
        found.append(("dead storage", "", 0.0, None))
    return [
        {
            "what": what,
            "of": of,
            "level_m": level_m(tank, held),
            "total_l": tank.dead_storage_l + held,
            "share": share,
            **at.days(held),
        }
        for what, of, held, share in sorted(found, key=lambda one: -one[2])
    ]


def _truck(site: Site, at: _At, *, truck: Hauling, l_day: dict[str, float]) -> Plain:
    """When to order on the stick, as the trial orders: reserve, rationed use of lead and safety."""
    tank, fits_l = at.tank, at.tank.usable_l - truck.load_l
    lead = {"": truck.lead_days, "drought_": math.ceil(table("hauling")["lead in drought"].value)}
    found: Plain = {
        "load_l": truck.load_l,
        "safety_days": truck.safety_days,
        "stated": truck.order_below is not None,
        "fits_l": max(tank.dead_storage_l + fits_l, 0.0) if fits_l >= 0.0 else None,
        "fits_m": level_m(tank, fits_l) if fits_l >= 0.0 else None,
        "load_days": _load_days(site, at, truck=truck),
    }
    for name, days in lead.items():
        slower = days if name else None
        order_l = order_level_l(site, truck, l_day=l_day, lead_days=slower)
        found |= {
            f"{name}lead_days": days,
            f"{name}order_l": tank.dead_storage_l + order_l,
            f"{name}order_m": level_m(tank, order_l),
            f"{name}fits_after_days": _waits(at, order_l, fits_l=fits_l),
        }
    return found


def _load_days(site: Site, at: _At, *, truck: Hauling) -> float | None:
    """Days a load lasts at the rationed use of a tank that is almost down to its reserve."""
    if not any(draw.l_day for draw in at.peak):
        return None
    low_l = bought_floor_l(site, at.tank, draws=at.peak)
    return days_between(at.peak, low_l + truck.load_l, low_l=low_l)


def _waits(at: _At, order_l: float, *, fits_l: float) -> float | None:
    """Days after the order until a load has room; None where it never has or nothing draws."""
    if fits_l < at.floor_l:
        return None
    return 0.0 if order_l <= fits_l else days_between(at.peak, order_l, low_l=fits_l)


def _ranked(use: Use) -> range:
    return range(len(use.stages))


def _stage(site: Site, use: Use, *, number: int, l_day: dict[str, float]) -> Plain:
    ranked = sorted(use.stages, key=lambda stage: -stage.share)
    stage = ranked[number]
    stores = [site.tank(name) for name in use.draws_from]
    usable_l = sum(tank.usable_l for tank in stores)
    one = stores[0] if len(stores) == 1 else None
    held = stage.below.litres(usable_l)
    return {
        "use": use.name,
        "class": use.end_use,
        "stage": number + 1,
        "tanks": list(use.draws_from),
        "below_l": held + sum(tank.dead_storage_l for tank in stores),
        "level_m": level_m(one, held) if one else None,
        "share": stage.share,
        "l_per_day": l_day[use.name] * stage.share,
        "whole_l_per_day": l_day[use.name],
        "held_by": stage.below.held_by,
    }
