"""People: by measured use, or by the fixtures they use."""

from collections.abc import Mapping

import numpy as np

from eavewell.demand.calendar import present
from eavewell.faults import BadSite
from eavewell.site.rain_record import FloatArray
from eavewell.site.want import Fixture, Household, People
from eavewell.tables import rows
from eavewell.weather.days import Days


def people_l(want: People, days: Days) -> FloatArray:
    """Water of people by measured use, shape (day,); guests are people with a calendar."""
    return np.where(present(want.calendar, days.dates), want.count * want.each_l_day, 0.0)


def household_l(want: Household, days: Days) -> FloatArray:
    """Water of people by fixture: times a person uses each fixture x what a use takes.

    Gives shape (day,).
    """
    each_l_day = sum(one.times_per_person_day * one.each_l for one in want.fixtures)
    return np.where(present(want.calendar, days.dates), want.people * each_l_day, 0.0)


def fixture(name: str, times_per_person_day: float | None = None) -> Fixture:
    """A fixture as tables/fixtures.csv has it.

    times_per_person_day : None takes the table's own habit; a bath and a car wash have none,
                           and must be given one.
    """
    row = _rows_by_name().get(name)
    if row is None:
        raise BadSite(f"fixture {name!r} is not known; known are {', '.join(_rows_by_name())}.")
    if times_per_person_day is None:
        if not row["times_per_person_day"]:
            raise BadSite(f"fixture {name!r}: no source says how often; give times a person a day.")
        times_per_person_day = float(row["times_per_person_day"])
    return Fixture(name, times_per_person_day, float(row["value"]))


def surveyed_household(survey: str) -> tuple[Fixture, ...]:
    """The uses of one person a day as a survey in tables/household_surveys.csv found them."""
    found = tuple(
        Fixture(row["name"], 1.0, float(row["value"]))
        for row in rows("household_surveys")
        if row["survey"] == survey
    )
    if not found:
        known = dict.fromkeys(row["survey"] for row in rows("household_surveys"))
        raise BadSite(f"household survey {survey!r} is not known; known are {', '.join(known)}.")
    return found


def _rows_by_name() -> Mapping[str, Mapping[str, str]]:
    return {row["name"]: row for row in rows("fixtures")}
