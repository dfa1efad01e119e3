"""What the log says of the site file, and of leaks, as plain data; keys stand in tables/answers."""

import math
from collections.abc import Iterator
from datetime import date
from importlib.metadata import version
from typing import Any

from eavewell.answers import finding_answer
from eavewell.logbook.leaks.drift import Drift
from eavewell.logbook.leaks.leak_test import LeakTest
from eavewell.logbook.leaks.leaks import Leaks
from eavewell.logbook.reconciled.estimate import Estimate
from eavewell.logbook.reconciled.reconcile import Reconciled
from eavewell.logbook.reconciled.used import UseFound
from eavewell.site.rain_record import DayArray
from eavewell.site.site import Site

Plain = dict[str, Any]


def reconciled_answer(site: Site, found: tuple[Reconciled, ...], *, day: date) -> Plain:
    """A log against its site file, group of tanks by group.

    day : on which it was asked.
    """
    return {
        **_head(site, "reconciled", day=day, dates=found[0].dates),
        "groups": [_group(one) for one in found],
    }


def _group(found: Reconciled) -> Plain:
    """One group; lists of one hold an estimate, and are empty where it is not known."""
    return {
        "tanks": list(found.tanks),
        "days_with_rain_by_own_gauge": found.own_rain_days,
        "changes": found.changes,
        "rainy": found.rainy,
        "censored_days": int(found.censored.sum()),
        "set_aside": list(found.set_aside),
        "catch": _estimate(found.catch),
        "first_flush": _estimate(found.flush),
        "unmetered_use": _estimate(found.unmetered),
        "unaccounted": _estimate(found.unknown),
        "used": [_used(one) for one in found.used],
        "days": list(_days(found)),
        "offers": [finding_answer(one) for one in found.offers],
        "refused": list(found.refused),
    }


def leaks_answer(site: Site, found: Leaks, *, day: date) -> Plain:
    """Every leak test with its limit, and what they found.

    day : on which it was asked.
    """
    return {
        **_head(site, "leaks", day=day, dates=found.dates),
        "tanks": list(found.tanks),
        "tests": [_test(one) for one in found.tests],
        "drifts": [_drift(one) for one in found.drifts],
        "nights": [
            {
                "meter": one.meter,
                "nights": one.nights,
                "ran": one.ran,
                "least_l_h": one.least_l_h,
                "runs": one.runs,
            }
            for one in found.nights
        ],
        "starts": [
            {
                "gauge": one.gauge,
                "night_starts_h": one.starts_h,
                "most_starts_h": one.most_starts_h,
            }
            for one in found.starts
        ],
        "alarms": found.alarms,
        "shut_test": [
            {
                "tank": one.tank,
                "hours": one.hours,
                "times": one.times,
                "limit_m": one.limit_m,
                "limit_l_per_day": one.limit_l_day,
            }
            for one in found.plans
        ],
        "findings": [finding_answer(one) for one in found.findings],
        "refused": list(found.refused),
    }


def _head(site: Site, name: str, *, day: date, dates: DayArray) -> Plain:
    return {
        "schema": f"eavewell-{name}/1",
        "site": site.name,
        "eavewell": version("eavewell"),
        "show": site.place.show,
        "day": day.isoformat(),
        "since": str(dates[0]) if dates.size else None,
        "until": str(dates[-1]) if dates.size else None,
    }


def _estimate(one: Estimate | None) -> list[Plain]:
    if one is None:
        return []
    return [{"value": one.value, "low": one.low, "high": one.high, "days": one.days}]


def _used(one: UseFound) -> Plain:
    return {
        "meter": one.meter,
        "uses": list(one.uses),
        "measured_l_per_day": one.measured.value,
        "low_l_per_day": one.measured.low,
        "high_l_per_day": one.measured.high,
        "expected_l_per_day": one.expected_l_day,
        "days": one.measured.days,
        "each_l_per_day": None if one.each is None else one.each.value,
        "was_each_l_per_day": one.was_each_l_day,
    }


def _days(found: Reconciled) -> Iterator[Plain]:
    columns = (found.observed_l.tolist(), found.expected_l.tolist(), found.censored.tolist())
    for day, observed, expected, censored in zip(found.dates, *columns, strict=True):
        yield {
            "date": str(day),
            "observed_l": _known(observed),
            "expected_l": _known(expected),
            "censored": censored,
        }


def _known(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _test(one: LeakTest) -> Plain:
    return {
        "tanks": list(one.tanks),
        "stretch": one.stretch,
        "since": one.since.isoformat(),
        "until": one.until.isoformat(),
        "days": one.dry_days,
        "metered": one.metered,
        "fall_l_per_day": one.fall_l_day,
        "low_l_per_day": one.low_l_day,
        "high_l_per_day": one.high_l_day,
        "limit_l_per_day": one.limit_l_day,
        "limit_at_twice_the_noise_l_per_day": one.limit_at_twice_l_day,
        "used_l_per_day": one.used_l_day,
        "leaks": one.leaks,
        "gains": one.gains,
    }


def _drift(one: Drift) -> Plain:
    return {
        "tank": one.tank,
        "l_per_day": one.l_day,
        "low_l_per_day": one.low_l_day,
        "high_l_per_day": one.high_l_day,
        "at_full_l": one.at_full_l,
        "times_full": one.events,
        "drifts": one.drifts,
    }
