"""The first year of a new system, by arithmetic."""

from datetime import date

import numpy as np
import pytest

from eavewell.site.lift import Lift
from eavewell.storage.first_fill import first_fill

YEARS = 6


def flood_days(day_of_year, years=YEARS):
    """200 mm on one day of every year, row 0 a 1 January; 365-day years are near enough."""
    rain = np.zeros(round(365.25 * years))
    starts = np.arange(np.datetime64("2001"), np.datetime64(f"{2001 + years}"))
    rows = (starts.astype("datetime64[D]") - np.datetime64("2001-01-01")).astype(int)
    rain[rows + day_of_year - 1] = 200.0
    return rain


def test_full_on_the_day_of_the_flood_and_dry_before(making):
    # 2000 L come on the 41st day: full on day 41 of every first year. Under yas that day draws
    # on the empty morning, so 41 days are short; 2,000 L then last 250 days, 74 of the year lack.
    site = making.site(tanks=(making.tank(2000.0),))
    found = first_fill(site, making.series(flood_days(41), [8.0]))
    assert (found.month, found.day, found.starts) == (1, 1, YEARS - 1)
    assert (found.middle_days, found.dry_tenth_days) == (41, 41)
    assert found.short_days == {"house": (41 + 74, 41 + 74)}


def test_never_full_is_not_a_number_of_days(making):
    found = first_fill(making.site(), making.series(np.zeros(2000), [8.0]))
    assert (found.middle_days, found.dry_tenth_days) == (None, None)
    assert found.short_days == {"house": (365, 365)}


def test_a_stated_start_carries_the_first_days(making):
    # Half of 200 L is 12.5 days of 8 L: the 13th day is short, and the 41st still is.
    site = making.site(tanks=(making.tank(200.0, start_share=0.5),), start_day=date(2000, 1, 1))
    found = first_fill(site, making.series(flood_days(41), [8.0]))
    # From the flood 200 L last 25 days: 365 - 12 - 25 days are short.
    assert found.short_days == {"house": (328, 328)}


def test_the_start_day_counts(making):
    # From 1 March the flood of 10 February comes on day 347; a leap year makes that one day more
    # only where 29 February lies between.
    site = making.site(tanks=(making.tank(2000.0),), start_day=date(2000, 3, 1))
    found = first_fill(site, making.series(flood_days(41), [8.0]))
    assert (found.month, found.day) == (3, 1)
    assert found.middle_days == 347


def test_middle_and_driest_tenth(making):
    # Floods on another day in each of ten years: 10, 20, ... 100 of its own year.
    count = 12
    rain = np.zeros(round(365.25 * count))
    for year in range(count):
        first = (np.datetime64(f"{2001 + year}-01-01") - np.datetime64("2001-01-01")).astype(int)
        rain[first + 10 * min(year + 1, 10) - 1] = 200.0
    site = making.site(tanks=(making.tank(2000.0),))
    found = first_fill(site, making.series(rain, [8.0]))
    days = sorted(10 * min(year + 1, 10) for year in range(found.starts))
    assert found.middle_days == days[round((found.starts - 1) * 0.5)]
    assert found.dry_tenth_days == 100


def test_a_tank_filled_by_a_lift_is_full_too(making):
    # The sump passes 50 L a day on to the main tank of 500 L.
    tanks = (making.tank(400.0, "sump", is_sump=True), making.tank(500.0, "main"))
    site = making.site(
        roofs=(making.roof(10.0, to="sump"),),
        tanks=tanks,
        lifts=(Lift("up", "sump", "main", limit_l_day=50.0),),
        uses=(making.use(1.0, draws_from=("main",)),),
    )
    rain = np.zeros(1500)
    rain[::5] = 40.0
    # Day 1 lifts 50 L, under yas drawn from on day 2 on; each day adds 50 - 1: the tenth day ends
    # at 491, the eleventh has 50 more to come and 9 of room: full, but for the day's litre.
    found = first_fill(site, making.series(rain, [1.0]))
    assert found.middle_days == pytest.approx(11)


def test_too_short_a_record_has_no_first_year(making):
    assert first_fill(making.site(), making.series(np.zeros(700), [8.0])) is None
