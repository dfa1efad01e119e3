"""The look ahead as plain data; every key stands in tables/answers/ahead.csv."""

from collections.abc import Iterator, Mapping
from dataclasses import asdict
from datetime import date
from importlib.metadata import version
from typing import Any

from eavewell.logbook.ahead.alerts import alerts
from eavewell.logbook.ahead.basis import Arrival, Asked
from eavewell.logbook.ahead.fan import MIDDLE, TENTHS, NextStage, When
from eavewell.logbook.ahead.look import Ahead, SupplyAhead, Way
from eavewell.logbook.ahead.no_rain import NoRain, last_day
from eavewell.logbook.ahead.order import Lead, Order
from eavewell.logbook.ahead.reach import Reach
from eavewell.logbook.ahead.supply import rain_l, stops_l
from eavewell.site.rain_record import FloatArray, RainRecord
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.storage.arrangement import MAINS
from eavewell.storage.stick import fire_reserve_l, level_m
from eavewell.tables import rows, table

Plain = dict[str, Any]
SCHEMA = "eavewell-ahead/1"
WEEK = 7
RAINS_MM = {"inch": 25.4, "ten_mm": 10.0}


def ahead_answer(
    found: Ahead, site: Site, *, record: RainRecord, asked: Asked | None = None
) -> Plain:
    """What lies ahead of a site, in SI units.

    site : as the look ahead ran it. record : of its rain. asked : what was taken as known.
    """
    asked = asked or Asked()
    week = found.used.week_l_day
    return {
        "schema": SCHEMA,
        "site": site.name,
        "eavewell": version("eavewell"),
        "show": site.place.show,
        "currency": site.money.currency,
        "rain": record.name,
        "invented": record.invented,
        "day": found.day.isoformat(),
        "read_on": found.read_on.isoformat(),
        "days_since_reading": (found.day - found.read_on).days,
        "reading_is_old": (found.day - found.read_on).days > table("ahead")["old reading"].value,
        "days_of_unknown_rain": found.unknown_days,
        "years": found.years,
        "evenings_apart": 1,
        "alerts": [asdict(one) for one in alerts(found)],
        "plan_days": int(table("ahead")["plan days"].value),
        "week_l_per_day": None if week is None else sum(week.values()),
        "plan_l_per_day": sum(found.used.plan_l_day.values()),
        "uses": [
            {
                "name": name,
                "week_l_per_day": None if week is None else week[name],
                "plan_l_per_day": l_day,
            }
            for name, l_day in found.used.plan_l_day.items()
        ],
        "rains": [
            {"day": day.isoformat(), "rain_mm": mm} for day, mm in sorted(asked.rain_mm.items())
        ],
        "loads": [
            {
                "day": one.day.isoformat(),
                "to": one.to,
                "volume_l": one.volume_l,
                "room_l": _room_l(site, found, load=one),
            }
            for one in asked.loads
        ],
        "tanks": [
            _tank(site, found, at=n) for n, tank in enumerate(site.tanks) if not tank.is_sump
        ],
        "supplies": [_supply(site, found, one=one) for one in found.supplies],
        "ways": [_way(site, one) for one in found.ways],
        "stages": [_stage(site, one) for one in found.stages],
        "orders": [_order(found.day, one) for one in found.orders],
        "reach": [] if found.reach is None else [_reach(found.reach)],
    }


def _room_l(site: Site, found: Ahead, *, load: Arrival) -> float | None:
    """Room for a load on the morning of its day, in the middle of years; None past the run."""
    tank, days = site.tank(load.to), (load.day - found.day).days
    levels = found.ways[0].of_tank.get(load.to)
    if levels is None or not 0 <= days <= levels.shape[0]:
        return None
    at = [one.name for one in site.tanks].index(load.to)
    held = found.now_l[at] if days == 0 else levels[days - 1, TENTHS.index(MIDDLE)]
    return max(tank.usable_l - float(held), 0.0)


def by_weeks(answer: Plain) -> Plain:
    """The same answer with the evenings of the years a week apart: a tenth as long."""
    ways = [
        one
        | {
            "dry_by_chance": one["dry_by_chance"][::WEEK],
            "tenths": _weekly(one["tenths"]),
            "tanks": [tank | {"tenths": _weekly(tank["tenths"])} for tank in one["tanks"]],
        }
        for one in answer["ways"]
    ]
    return answer | {"evenings_apart": WEEK, "ways": ways}


def _weekly(tenths: list[Plain]) -> list[Plain]:
    return [one | {"evening_l": one["evening_l"][::WEEK]} for one in tenths]


def _tank(site: Site, found: Ahead, *, at: int) -> Plain:
    tank, held = site.tanks[at], float(found.now_l[at])
    return {
        "name": tank.name,
        "count": tank.count,
        "shut_apart": _shut_apart(tank),
        "held_l": held,
        "total_l": tank.dead_storage_l + held,
        "level_m": level_m(tank, held),
        "was_read": tank.name not in found.unread,
        "dead_l": tank.dead_storage_l,
        "dead_m": level_m(tank, 0.0),
        "full_l": tank.full_l,
        "full_m": level_m(tank, tank.usable_l),
        "marks": [
            {
                "what": what,
                "of": of,
                "total_l": tank.dead_storage_l + held,
                "level_m": level_m(tank, held),
            }
            for what, of, held in _marks(site, tank)
        ],
    }


def _shut_apart(tank: Tank) -> bool | None:
    link = tank.fittings.link
    return None if link is None else link.valves


def _marks(site: Site, tank: Tank) -> Iterator[tuple[str, str, float]]:
    """Where uses stop above the outlet, and the reserve for fire."""
    fire_l = fire_reserve_l(tank)
    if fire_l:
        yield "fire reserve", "", fire_l
    for use in site.uses:
        if tank.name in use.draws_from and stops_l(use, tank) > fire_l:
            yield "stops", use.name, stops_l(use, tank)


def _supply(site: Site, found: Ahead, *, one: SupplyAhead) -> Plain:
    supply, l_day = one.supply, _l_day(found, one)
    rains: Plain = {}
    for name, depth_mm in RAINS_MM.items():
        brought = rain_l(site, supply, depth_mm=depth_mm)
        rains[f"{name}_of_rain_l"] = brought or None
        rains[f"{name}_of_rain_days"] = brought / l_day if brought and l_day else None
    week = NoRain(None, None) if one.week is None else one.week
    return {
        "tanks": list(supply.tanks),
        "first": list(supply.first),
        "held_l": one.held_l,
        "held_low_l": one.low_l,
        "held_high_l": one.high_l,
        "floor_l": supply.floor_l,
        "usable_l": supply.usable_l,
        "use_l_per_day": l_day,
        "plan_l_per_day": sum(found.used.plan_l_day[draw.name] for draw in supply.draws),
        "has_make_up": any(
            lift.source == MAINS and lift.target in supply.tanks for lift in site.lifts
        ),
        "has_rations": any(share < 1.0 for draw in supply.draws for _, share in draw.stages),
        "week": _lasts(found.day, week),
        "plan": _lasts(found.day, one.plan),
        **rains,
        "cuts": _cuts(one),
    }


def _cuts(one: SupplyAhead) -> list[Plain]:
    stopped = {cut.use: cut.stopped for cut in one.cut_years}
    halved = {cut.use: cut.halved for cut in one.cut_years}
    return [
        {
            "use": cut.use,
            "l_per_day": cut.l_day,
            "wholly_gains_days": cut.without_days,
            "half_gains_days": cut.half_days,
            "is_first": one.supply.first == (cut.use,),
            "wholly_dry": _when(stopped.get(cut.use)),
            "half_dry": _when(halved.get(cut.use)),
        }
        for cut in one.cuts
    ]


def _l_day(found: Ahead, one: SupplyAhead) -> float:
    use: Mapping[str, float] = found.used.week_l_day or found.used.plan_l_day
    return sum(use[draw.name] for draw in one.supply.draws)


def _lasts(day: date, one: NoRain) -> Plain:
    return {
        "days": one.plain_days,
        "until": _iso(last_day(day, one.plain_days)),
        "rationed_days": one.rationed_days,
        "rationed_until": _iso(last_day(day, one.rationed_days)),
    }


def _way(site: Site, one: Way) -> Plain:
    return {
        "name": one.name,
        "dry": _when(one.dry),
        "dry_by_chance": [round(chance, 4) for chance in one.chance.tolist()],
        "tenths": _tenths(one.tenths_l),
        "tanks": [
            {"name": name, "tenths": _tenths(tenths)} for name, tenths in one.of_tank.items()
        ],
        "loads": [
            {"to": truck.to, "mean": mean, "driest_tenth": many}
            for truck, (mean, many) in zip(site.hauling, one.loads, strict=True)
        ],
    }


def _tenths(levels_l: FloatArray) -> list[Plain]:
    return [
        {"share": share, "evening_l": [round(level, 1) for level in column.tolist()]}
        for share, column in zip(TENTHS, levels_l.T, strict=True)
    ]


def _when(one: When | None) -> Plain:
    if one is None:
        return {"driest_tenth": None, "middle": None, "chance": None}
    return {
        "driest_tenth": _iso(one.dry_tenth),
        "middle": _iso(one.middle),
        "chance": one.chance,
    }


def _stage(site: Site, one: NextStage) -> Plain:
    level = None
    if len(one.tanks) == 1 and one.below_l is not None:
        level = level_m(site.tank(one.tanks[0]), one.below_l)
    return {
        "use": one.use,
        "tanks": list(one.tanks),
        "level_m": level,
        "share": one.share,
        "next_share": one.next_share,
        "below_l": one.below_l,
        "begins": _when(one.when),
    }


def _order(day: date, one: Order) -> Plain:
    return {
        "to": one.to,
        "load_l": one.load_l,
        "safety_days": one.safety_days,
        "load_days": one.load_days,
        "load_hours": None if one.load_days is None else one.load_days * 24.0,
        "own_leads": one.own_leads,
        "last_price": one.last_price,
        "fits_l": one.fits_l,
        "fits_m": one.fits_m,
        "fits": _when(one.fits),
        "normal": _lead(day, one.normal),
        "slow": _lead(day, one.slow),
        "ask": [{"what": row["what"], "says": row["says"]} for row in rows("load_questions")],
    }


def _lead(day: date, one: Lead) -> Plain:
    return {
        "days": one.days,
        "order_l": one.order_l,
        "order_m": one.order_m,
        "order_by": _when(one.by),
        "no_rain_days": one.no_rain_days,
        "no_rain_on": _iso(last_day(day, one.no_rain_days)),
        "today": one.today,
    }


def _reach(one: Reach) -> Plain:
    return {
        "until": one.until.isoformat(),
        "chance_asked": one.chance,
        "chance": one.is_chance,
        "l_per_day": one.l_day,
        "each_l_per_day": one.each_l_day,
        "uses": [{"name": name, "l_per_day": l_day} for name, l_day in one.by_use.items()],
    }


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
