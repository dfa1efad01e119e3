"""The register of built systems as plain data; every key stands in tables/answers/register.csv."""

from collections import Counter
from collections.abc import Iterator
from datetime import date
from importlib.metadata import version
from typing import Any

from eavewell.district.grouped import smallest_group
from eavewell.district.metered import Metered
from eavewell.district.register import Register
from eavewell.district.register_groups import Cost, InGroups, Together, age_of, in_groups
from eavewell.district.shared_site import SharedSite
from eavewell.district.used_water import UsedWater, peaks_of
from eavewell.logbook.upkeep.serviced import Due
from eavewell.tables import table

Plain = dict[str, Any]


def register_answer(found: Register, *, mains: Metered | None = None) -> Plain:
    """Every site as far as its owner shares it, what is due, and the groups.

    mains : what mains meters say that was saved; None where none were read before and after.
    """
    groups = in_groups(found.sites, day=found.day) if found.day else None
    shown = Counter(one.show for one in found.sites).most_common(1)
    return {
        "schema": "eavewell-register/1",
        "name": found.name,
        "eavewell": version("eavewell"),
        "show": shown[0][0] if shown else "us",
        "day": _iso(found.day),
        "heard_within_days": round(table("register")["heard within"].value),
        "again_within_days": round(table("register")["visited again within"].value),
        "smallest_group": smallest_group(),
        "invented": any(one.invented for one in found.sites),
        "sites": [_site(one, day=found.day) for one in found.sites],
        "due": list(_due(found)),
        "groups": list(_groups(groups)) if groups else [],
        **_mains(mains),
    }


def _mains(found: Metered | None) -> Plain:
    return {
        "mains_homes": found.homes if found else None,
        "mains_compared": found.compared if found else None,
        "mains_months": list(found.months) if found else [],
        "mains_saved_l": found.saved_l if found else None,
        "mains_peak_month": found.peak_month if found else None,
        "mains_peak_month_saved_l": found.peak_month_saved_l if found else None,
        "mains_peak_day": found.peak_day or None if found else None,
        "mains_peak_day_saved_l": found.peak_day_saved_l if found else None,
    }


def _site(one: SharedSite, *, day: date | None) -> Plain:
    """None for what is not shared or not known; `shares` tells which."""
    return {
        "site": one.name,
        "status": one.status,
        "last_reading": _iso(one.last_reading),
        "shares": list(one.share.agreed),
        "town": one.share.town or None,
        "first_use": _iso(one.first_use),
        "age": age_of(one, day=day) if one.first_use and day else None,
        **_cared(one),
        **_used(one),
        **_paid(one),
        "second_supply": one.supply.second if one.supply else None,
        "backflow_due": _iso(one.supply.backflow) if one.supply else None,
        "backflow_overdue_days": one.supply.backflow_overdue_days if one.supply else None,
        "says": list(one.says),
    }


def _cared(one: SharedSite) -> Plain:
    service, tests = one.service, one.tests
    return {
        "overdue": len(service.overdue) if service else None,
        "most_overdue_days": (
            max((due.overdue_days for due in service.due), default=0) if service else None
        ),
        "done_again": service.again if service else None,
        "tests_failed": tests.failed if tests else None,
        "tests_expired": tests.expired if tests else None,
        "tests_open": tests.open if tests else None,
    }


def _used(one: SharedSite) -> Plain:
    used = one.used
    peaks = peaks_of([used]) if used else None
    return {
        "metered_days": used.days if used else None,
        "metered_l": used.metered_l if used else None,
        "expected_l": used.expected_l if used else None,
        "used_share": used.share if used else None,
        "rain_l": used.rain_l if used else None,
        "peak_month": peaks.month or None if peaks else None,
        "peak_month_l": peaks.month_l if peaks and peaks.month else None,
        "peak_day_l": peaks.day_l if peaks else None,
    }


def _paid(one: SharedSite) -> Plain:
    money = one.money
    litres, by = _litres(one.used, money.modelled_l_year if money else 0.0)
    told = money is not None and litres > 0.0
    return {
        "yearly_cost": money.yearly if money else None,
        "currency": money.currency if money else None,
        "cost_per_m3": 1000.0 * money.yearly / litres if money and told else None,
        "cost_by": by if told else None,
    }


def _litres(used: UsedWater | None, modelled_l: float) -> tuple[float, str]:
    """Rain used in a year, and by what it is known."""
    if used and used.every_use:
        return used.rain_l_year, "meters"
    return modelled_l, "the design"


def _due(found: Register) -> Iterator[Plain]:
    """What is due at each site that shares its service, by town, the most overdue first."""
    rows = [(site, one) for site in found.sites if site.service for one in site.service.due]
    for site, one in sorted(rows, key=_by_town):
        yield _task(site, one)


def _by_town(row: tuple[SharedSite, Due]) -> tuple[bool, str, date, str]:
    site, one = row
    return site.share.town == "", site.share.town, one.due, site.name


def _task(site: SharedSite, one: Due) -> Plain:
    return {
        "town": site.share.town or None,
        "site": site.name,
        "kind": one.kind,
        "task": one.task,
        "things": list(one.things),
        "says": one.says,
        "due": one.due.isoformat(),
        "overdue_days": one.overdue_days,
        "last_done": _iso(one.last_done),
        "source": one.source,
    }


def _groups(found: InGroups) -> Iterator[Plain]:
    yield _together("all", found.whole)
    for kind, lines in (("town", found.towns), ("age", found.ages)):
        for one in lines:
            yield _together(kind, one)


def _together(kind: str, one: Together) -> Plain:
    """None for what too few sites of the group share."""
    standing, metered, cared, tests = one.standing, one.metered, one.cared, one.tests
    return {
        "by": kind,
        "group": one.name,
        "sites": standing.sites if standing else None,
        "working": standing.working if standing else None,
        "stopped": standing.stopped if standing else None,
        "unknown": standing.unknown if standing else None,
        "working_share_low": standing.share_low if standing else None,
        "working_share_high": standing.share_high if standing else None,
        "metered_sites": metered.sites if metered else None,
        "metered_l": metered.metered_l if metered else None,
        "expected_l": metered.expected_l if metered else None,
        "used_share": metered.share if metered else None,
        "rain_l": metered.rain_l if metered else None,
        "peak_month": metered.peaks.month or None if metered else None,
        "peak_month_l": metered.peaks.month_l if metered and metered.peaks.month else None,
        "peak_day_l": metered.peaks.day_l if metered else None,
        **_cost("verified", one.verified),
        **_cost("modelled", one.modelled),
        "cared_sites": cared.sites if cared else None,
        "behind_sites": cared.behind if cared else None,
        "overdue": cared.overdue if cared else None,
        "done_again": cared.again if cared else None,
        "tested_sites": tests.sites if tests else None,
        "failed_sites": tests.failed if tests else None,
        "expired_sites": tests.expired if tests else None,
    }


def _cost(how: str, one: Cost | None) -> Plain:
    return {
        f"{how}_cost_sites": one.sites if one else None,
        f"{how}_cost_working": one.working if one else None,
        f"{how}_cost_per_m3": one.per_m3 if one else None,
        f"{how}_currency": one.currency if one else None,
    }


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None
