"""The year of a site as plain data, for its owner or for an authority, and as a paper."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from importlib.metadata import version
from typing import Any, Literal

import numpy as np

from eavewell.design import Design
from eavewell.faults import EavewellFault
from eavewell.logbook.daily_log import DailyLog
from eavewell.logbook.reconciled.account import expected_of
from eavewell.logbook.upkeep.serviced import Serviced
from eavewell.logbook.year.year_care import CareOfYear, care_of_year
from eavewell.logbook.year.year_saved import Saved, saved_in
from eavewell.logbook.year.year_water import MonthOfWater, YearOfWater, last_day_of, year_of_water
from eavewell.site.site import Site
from eavewell.treatment.water_tests import unit_of

Plain = dict[str, Any]
Whom = Literal["owner", "authority"]
# what an authority's version leaves out unless the owner agrees, and what each of them shows
AGREED = ("months", "place", "names")


@dataclass(frozen=True, slots=True, eq=False)
class Year:
    """A year of a site: its water, what that saved, and its care."""

    site: Site
    water: YearOfWater
    saved: Saved
    care: CareOfYear
    today: date


def year_of(made: Design, log: DailyLog, *, read: Serviced, year: int) -> Year:
    """A calendar year of a site's log.

    log : of the whole time. read : the same log as its service reads it.

    Raises EavewellFault where the log holds nothing of that year.
    """
    begun = read.history.first_day()
    if begun is None or not begun.year <= year <= read.today.year:
        years = "" if begun is None else f" It begins in {begun.year}."
        raise EavewellFault(f"The log of {made.site.name!r} holds nothing of {year}.{years}")
    first, last = date(year, 1, 1), min(last_day_of(year), read.today)
    water = year_of_water(made.site, log, expected=expected_of(made), year=year)
    care = care_of_year(read, first=max(first, begun), last=last)
    loads = [one.load for one in care.loads]
    return Year(made.site, water, saved_in(made.site, water, loads=loads), care, read.today)


def last_year_of(read: Serviced) -> int:
    """The last calendar year that is over and of which the log holds something; else this one."""
    begun = read.history.first_day()
    over = read.today.year - 1
    return over if begun is not None and begun.year <= over else read.today.year


def years_of(read: Serviced) -> tuple[int, ...]:
    """The calendar years of which the log holds something, the last first."""
    begun = read.history.first_day()
    return () if begun is None else tuple(range(read.today.year, begun.year - 1, -1))


def year_answer(found: Year, *, whom: Whom = "owner", agreed: Iterable[str] = ()) -> Plain:
    """The year as plain data.

    whom   : an authority's version leaves out what tells when nobody is at home, where the site
             lies and who did what: use and levels by month, place, names.
    agreed : which of these (AGREED) the owner lets it see.
    """
    shows = set(AGREED if whom == "owner" else agreed)
    _refuse_unknown(shows)
    water, site = found.water, found.site
    return {
        "schema": "eavewell-year/1",
        "site": site.name,
        "eavewell": version("eavewell"),
        "show": site.place.show,
        "day": found.today.isoformat(),
        "year": water.year,
        "for": whom,
        "from": _iso(water.first),
        "to": _iso(water.last),
        "days": water.days,
        "latitude": site.place.latitude if "place" in shows else None,
        "longitude": site.place.longitude if "place" in shows else None,
        "currency": site.money.currency,
        "total": _total(water),
        "months": [_month(one, shown="months" in shows) for one in water.months],
        "metered_uses": list(water.metered),
        "unmetered_uses": list(water.unmetered),
        "usable_l": sum(one.usable_l for one in site.tanks if not one.is_sump),
        "days_of_level": _days(water) if "months" in shows else [],
        "saved": _saved(found.saved),
        **_care(found.care, names="names" in shows),
    }


def _refuse_unknown(shows: set[str]) -> None:
    wrong = sorted(shows - set(AGREED))
    if wrong:
        raise EavewellFault(f"Nobody can agree to {wrong[0]!r}: say {', '.join(AGREED)}.")


def _total(water: YearOfWater) -> Plain:
    return {
        "rain_mm": water.total("rain_mm"),
        "rain_days": sum(one.rain_days for one in water.months),
        "caught_l": water.total("caught_l"),
        "hauled_l": water.total("hauled_l") or 0.0,
        "make_up_l": water.total("make_up_l"),
        "metered_l": water.total("metered_l"),
        "metered_days": sum(one.metered_days for one in water.months),
        "level_l": water.total("level_l"),
        "level_days": sum(one.level_days for one in water.months),
        "planned_l": water.total("planned_l") or 0.0,
    }


def _month(one: MonthOfWater, *, shown: bool) -> Plain:
    """Rain and what came are nobody's secret; use and level tell when nobody is there."""
    return {
        "month": one.month,
        "days": one.days,
        "rain_mm": one.rain_mm,
        "rain_days": one.rain_days,
        "hauled_l": one.hauled_l if shown else None,
        "make_up_l": one.make_up_l if shown else None,
        "metered_l": one.metered_l if shown else None,
        "metered_days": one.metered_days if shown else None,
        "level_l": one.level_l if shown else None,
        "level_days": one.level_days if shown else None,
        "planned_l": one.planned_l if shown else None,
        "held_l": one.held_l if shown else None,
        "caught_l": one.caught_l if shown else None,
    }


def _days(water: YearOfWater) -> list[Plain]:
    known = np.isfinite(water.held_l) | np.isfinite(water.rain_mm)
    return [
        {"day": str(day), "held_l": _known(held_l), "rain_mm": _known(rain_mm)}
        for day, held_l, rain_mm in zip(
            water.dates[known], water.held_l[known], water.rain_mm[known], strict=True
        )
    ]


def _known(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


def _saved(one: Saved) -> Plain:
    return {
        "replaces": one.replaces,
        "verified_l": one.verified_l,
        "modelled_l": one.modelled_l,
        "money": one.money,
        "verified_money": one.verified_money,
    }


def _care(care: CareOfYear, *, names: bool) -> Plain:
    return {
        "tests": [
            {
                "of": one.test.of,
                "day": one.test.day.isoformat(),
                "found": one.test.value,
                "below": one.test.below,
                "unit": unit_of(one.test.of),
                "class": one.plan.end_use if one.plan else None,
                "least": one.plan.least if one.plan else None,
                "most": one.plan.most if one.plan else None,
                "says": one.says,
                "tap": one.test.tap,
                "laboratory": one.test.laboratory,
            }
            for one in care.tests
        ],
        "tasks": [
            {
                "kind": one.kind,
                "task": one.task,
                "things": list(one.things),
                "every_days": one.every_days,
                "done": [day.isoformat() for day in one.done],
                "missed": one.missed,
            }
            for one in care.tasks
        ],
        "outages": [
            {
                "of": one.outage.of,
                "day": one.day.isoformat(),
                "hours": one.hours,
                "lasts": one.lasts,
                "note": one.outage.note if names else "",
            }
            for one in care.outages
        ],
        "loads": [
            {
                "to": one.load.to,
                "day": one.day.isoformat(),
                "volume_l": one.load.volume_l,
                "price": one.load.price if names else None,
                "paper": one.load.paper,
                "chlorine_mg_l": one.load.chlorine_mg_l,
            }
            for one in care.loads
        ],
    }


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None
