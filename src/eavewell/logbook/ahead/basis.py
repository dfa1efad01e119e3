"""What the look ahead runs on, and what it is asked."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from eavewell.design import Design
from eavewell.hydraulics.lift import lift_duty
from eavewell.hydraulics.lifted_water import lift_water
from eavewell.logbook.ahead.hauled_before import HauledBefore
from eavewell.site.beside import Beside
from eavewell.site.rain_record import FloatArray, RainRecord
from eavewell.site.site import Site
from eavewell.storage.series import Series, WaterOf, series
from eavewell.weather.days import Days
from eavewell.weather.design_storm import site_storms
from eavewell.weather.ready import ready_days, ready_rain
from eavewell.weather.within_day import rain_within_days


@dataclass(frozen=True, slots=True, eq=False)
class Basis:
    """The site and the days of its record, as the daily engine sees them.

    days : weather of the record. water_of : makes the water of other days, as `series` does.
    """

    site: Site
    water: Series
    days: Days
    water_of: WaterOf


def basis_of(design: Design) -> Basis:
    """The pieces of a design that the look ahead needs."""
    moved = design.moved
    return Basis(moved.site, moved.water, design.weather.days, moved.water_of)


@dataclass(frozen=True, slots=True, eq=False)
class Standing:
    """What is known of the water, and since when.

    day       : today. read_on : the day in whose morning the levels below stood.
    held_l    : above the dead storage, of each tank in the site's order, shape (tank,).
    held_sd_l : its standard error, (tank,).
    week_l_day: what was used in a day of the last week, by the use's name, or by "" for all uses
                together; empty where it is not known: then the plan's use holds.
    unread    : tanks whose level nobody ever read: they hold anything from nothing to full.
    """

    day: date
    read_on: date
    held_l: FloatArray
    held_sd_l: FloatArray
    week_l_day: Mapping[str, float] = field(default_factory=dict)
    unread: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Arrival:
    """A load that comes, or may come."""

    day: date
    to: str
    volume_l: float


@dataclass(frozen=True, slots=True)
class Asked:
    """What is taken as known, and what is to be reached.

    rain_mm : of days since the reading, by the gauge, and of days to come, by a forecast.
    loads   : that came since the reading, or come.
    reach   : the day until which the water is to last; None asks nothing.
    chance  : of running dry before it that is borne, 0 to 1; None takes the usual one.
    reach_next : where no such day is said, ask for the first month that the water does not reach
              with no rain.
    hauled  : what the log knows of the loads of a tank, by its name.
    cut_years : run every cut through the years as well; without it only the days with no rain are
              told, in half the time.
    """

    rain_mm: Mapping[date, float] = field(default_factory=dict)
    loads: tuple[Arrival, ...] = ()
    reach: date | None = None
    chance: float | None = None
    hauled: Mapping[str, HauledBefore] = field(default_factory=dict)
    reach_next: bool = False
    cut_years: bool = True


def basis_on_record(site: Site, record: RainRecord, *, beside: Beside, today: date) -> Basis:
    """The same pieces without the rest of the design, for a command that asks for no more.

    Raises BadRecord where the record cannot be designed on.
    """
    rain = ready_rain(record, site.rain, place=site.place, neighbour=beside.neighbour, today=today)
    days = ready_days(rain.record, site.place).days
    storms = site_storms(site.storm, rain.record, table=beside.storms)
    within = rain_within_days(days, donor=beside.donor, storm=site.storm, storms=storms)
    lifted = lift_duty(site, storms)
    moved = lift_water(site, series(site, days), within=within, lifted=lifted)
    return Basis(moved.site, moved.water, days, moved.water_of)
