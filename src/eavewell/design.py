"""THE CHAIN: a Site and a rain record become a Design. Read this file first.

Water runs down this page as it runs down the site: rain, storms, eaves, pipes, lifts, stores,
sizes, the doubts (the range, the first year, worse than the record), and at last the money.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from eavewell.catchment.first_flush import first_flush_rules
from eavewell.cost.reckoned import Reckoned, reckon_on_record
from eavewell.demand.assumptions import assumptions, left_out
from eavewell.demand.daily import demand_l
from eavewell.files.authority import model_authority
from eavewell.hydraulics.conveyance import Conveyed, convey
from eavewell.hydraulics.eaves import Eaves, drain_roofs
from eavewell.hydraulics.flushes import first_flushes
from eavewell.hydraulics.gravity import GravityLine, on_peak_day, run_line
from eavewell.hydraulics.levels import Level, schedule
from eavewell.hydraulics.lift import Lifted, lift_duty
from eavewell.hydraulics.lifted_water import LiftedWater, SumpWater, lift_water, sump_water
from eavewell.hydraulics.service import PumpedLine, mean_l_day, serve
from eavewell.hydraulics.tank_connections import Connected, connect
from eavewell.rules.drainage import drainage_storm
from eavewell.rules.judged import Judged, judge
from eavewell.site.beside import Beside
from eavewell.site.rain_record import RainRecord
from eavewell.site.site import Site
from eavewell.storage.doubts import Doubts, doubts
from eavewell.storage.drawn import Drawn, as_drawn
from eavewell.storage.first_fill import FirstFill, first_fill
from eavewell.storage.series import Series, series, uses_in_order
from eavewell.storage.sizing import Sizing, size_system
from eavewell.storage.too_coarse import Coarse, too_coarse
from eavewell.stormwater.before_after import StormWater, before_and_after
from eavewell.structure.screening import Carried, carry
from eavewell.treatment.barriers import TreatedLine, barriers_in_order
from eavewell.treatment.classes import Fitness, fit_for_use
from eavewell.treatment.season import SeasonStep, season_steps
from eavewell.treatment.shock import Shock, shock_after_work
from eavewell.treatment.water_tests import Tested, test_water
from eavewell.weather.days import Days
from eavewell.weather.design_storm import DesignStorms, site_storms
from eavewell.weather.ready import ReadyDays, ReadyRain, ready_days, ready_rain
from eavewell.weather.within_day import WithinDay, rain_within_days

Stage = Callable[..., Any]


@dataclass(frozen=True, slots=True, eq=False)
class Design:
    """A site with everything worked out; one field a stage, so that each can be looked at.

    doubts : None where a page has put them off.
    """

    site: Site
    rain: ReadyRain
    weather: ReadyDays
    levels: tuple[Level, ...]
    storms: DesignStorms
    eaves: Eaves
    pipes: Conveyed
    within: WithinDay | None
    lifted: Lifted
    water: Series
    moved: LiftedWater
    drawn: Drawn
    sizing: Sizing
    doubts: Doubts | None
    first_fill: FirstFill | None
    connected: tuple[Connected, ...]
    gravity: tuple[GravityLine, ...]
    served: tuple[PumpedLine, ...]
    carried: tuple[Carried, ...]
    coarse: tuple[Coarse, ...]
    stormwater: StormWater
    fitness: Fitness
    treated: tuple[TreatedLine, ...]
    tested: Tested
    shock: Shock
    season: tuple[SeasonStep, ...]
    judged: Judged
    reckoned: Reckoned
    assumed: tuple[str, ...]


def call(function: Callable[..., Any], *inputs: Any, **named: Any) -> Any:
    """Run one stage; a page passes one that remembers instead."""
    return function(*inputs, **named)


def design(
    site: Site,
    record: RainRecord,
    *,
    beside: Beside | None = None,
    today: date | None = None,
    stage: Stage = call,
) -> Design:
    """Design a site on a rain record.

    beside    : a neighbour, a table of storms, a donor of storms, rules of the place, prices.
    today     : day against which the record's age, tests and papers are judged; None: now.
    stage     : how each stage is called.

    Raises BadRecord where the record cannot be designed on.
    """
    beside = beside or Beside()
    rain: ReadyRain = stage(
        ready_rain, record, site.rain, place=site.place, neighbour=beside.neighbour, today=today
    )
    weather: ReadyDays = stage(ready_days, rain.record, site.place)
    days = weather.days
    storms: DesignStorms = stage(site_storms, site.storm, rain.record, table=beside.storms)
    eaves: Eaves = stage(drain_roofs, site, storms, asked=drainage_storm(beside.authority))
    flushes = stage(first_flushes, site, days)
    pipes: Conveyed = stage(convey, site, storms, storm=eaves.storm, flushes=flushes)
    lifted: Lifted = stage(lift_duty, site, storms)
    within: WithinDay | None = stage(
        rain_within_days, days, donor=beside.donor, storm=site.storm, storms=storms
    )
    wants = [stage(demand_l, use, days) for use in uses_in_order(site)]
    water: Series = stage(series, site, days, wants=wants)
    sumps: SumpWater = stage(sump_water, site, water, within=within, lifted=lifted)
    moved: LiftedWater = stage(lift_water, site, water, within=within, lifted=lifted, sumps=sumps)
    drawn: Drawn = stage(as_drawn, moved.site, moved.water)
    sizing: Sizing = stage(size_system, moved.site, moved.water)
    fitted = _fitted(site, storms, water=water, stage=stage)
    power = (fitted["served"], lifted, moved.captured)
    return Design(
        site=site,
        rain=rain,
        weather=weather,
        levels=schedule(site),
        storms=storms,
        eaves=eaves,
        pipes=pipes,
        within=within,
        lifted=lifted,
        water=water,
        moved=moved,
        drawn=drawn,
        sizing=sizing,
        doubts=stage(doubts, moved.site, days, drawn=drawn, sizing=sizing, water_of=moved.water_of),
        first_fill=stage(first_fill, moved.site, moved.water),
        **fitted,
        coarse=stage(too_coarse, moved.site, moved.water, within=within, drawn=drawn),
        stormwater=stage(
            before_and_after, site, days, drawn=drawn, sizing=sizing, storms=storms, water=water
        ),
        **_fit(site, beside, served=fitted["served"], pipes=pipes, today=today, stage=stage),
        reckoned=stage(reckon_on_record, site, drawn, book=beside.prices, power=power),
        assumed=(*_assumed(site, days, stage=stage), *eaves.assumed),
    )


def _fitted(site: Site, storms: DesignStorms, *, water: Series, stage: Stage) -> dict[str, Any]:
    """What stands on the site: tanks with their fittings, lines with their outlets, bases."""
    return {
        "connected": stage(connect, site, storms),
        "gravity": tuple(stage(run_line, line, **one) for line, one in on_peak_day(site, water)),
        "served": stage(serve, site, mean_l_day(site, water)),
        "carried": stage(carry, site),
    }


def _fit(
    site: Site,
    beside: Beside,
    *,
    served: tuple[PumpedLine, ...],
    pipes: Conveyed,
    today: date | None,
    stage: Stage,
) -> dict[str, Any]:
    """What the water may be used for, and what stands between roof and mouth."""
    fitness: Fitness = stage(fit_for_use, site)
    asks = beside.authority or model_authority()
    return {
        "fitness": fitness,
        "treated": stage(barriers_in_order, site, served, authority=asks),
        "tested": stage(test_water, site, fitness, authority=asks, today=today),
        "shock": stage(shock_after_work, site),
        "season": stage(season_steps, site, pipes.drain_down),
        "judged": stage(judge, site, asks, today=today),
    }


def _assumed(site: Site, days: Days, *, stage: Stage) -> Iterator[str]:
    """What was taken for granted, in sentences."""
    for use in site.uses:
        yield from stage(assumptions, use, days)
    yield from stage(left_out, site.uses)
    yield from stage(first_flush_rules, site.roofs)
