"""Months, years and evenings of an answer against arithmetic on a made-up site; invented rain."""

from datetime import date

import numpy as np
import pytest

from eavewell.answers import answer
from eavewell.design import design

TODAY = date(2026, 1, 1)
KINDS = ("inflow_l", "wanted_l", "supplied_l", "make_up_l", "short_l")


def rain(months, depth_mm=10.0):
    """Four whole years, 2001 to 2004, with rain on every day of the months named."""
    dates = np.arange("2001-01-01", "2005-01-01", dtype="M8[D]")
    month = dates.astype("M8[M]").astype(int) % 12 + 1
    return np.where(np.isin(month, months), depth_mm, 0.0)


@pytest.fixture(scope="module")
def plain(making):
    """60 L a day wanted from a tank of 200 L; from July to September it does not rain."""
    site = making.site(tanks=(making.tank(200.0),), uses=(making.use(60.0),))
    wet = (1, 2, 3, 4, 5, 6, 10, 11, 12)
    return answer(design(site, making.record(rain(wet)), today=TODAY))


def test_a_month_by_arithmetic(plain):
    months = {one["month"]: one for one in plain["storage"]["months"]}
    assert months[7]["wanted_l"] == pytest.approx(31 * 60.0)
    # full at 200 L every morning, less 60 L in the evening: 140 L are left for the dry months
    assert months[7]["inflow_l"] == 0.0
    assert months[7]["supplied_l"] == pytest.approx(140.0)
    assert months[7]["short_l"] == pytest.approx(31 * 60.0 - 140.0)
    assert months[8]["supplied_l"] == 0.0
    assert months[8]["short_l"] == pytest.approx(31 * 60.0)
    # 10 mm on 10 m2 less what a metal roof loses, every day
    assert 31 * 60.0 < months[1]["inflow_l"] <= 31 * 100.0
    assert months[1]["short_l"] == 0.0
    # 29 days of four years in 113: mean length 28.2425
    assert months[2]["wanted_l"] == pytest.approx(28.2425 * 60.0)


def test_twelve_months_are_a_mean_year(plain):
    months, store = plain["storage"]["months"], plain["storage"]
    for ours, account in (("inflow_l", "inflow_l_per_year"), ("supplied_l", "supplied_l_per_year")):
        assert sum(one[ours] for one in months) == pytest.approx(store[account], rel=1e-3)
    for one in months:
        given = one["supplied_l"] + one["make_up_l"] + one["short_l"]
        assert given == pytest.approx(one["wanted_l"])


def test_years_tell_what_is_short(plain):
    for year in plain["years"]:
        given = year["supplied_l"] + year["make_up_l"] + year["short_l"]
        assert given == pytest.approx(year["wanted_l"])
        assert year["make_up_l"] == 0.0


def test_mains_make_up_what_is_missing(making):
    use = making.use(60.0, fallback="mains")
    site = making.site(tanks=(making.tank(100.0),), uses=(use,))
    plain = answer(design(site, making.record(rain((1, 2, 3))), today=TODAY))
    august = plain["storage"]["months"][7]
    assert (august["short_l"], august["make_up_l"]) == (0.0, pytest.approx(31 * 60.0))
    total = sum(year["make_up_l"] for year in plain["years"])
    assert total == pytest.approx(plain["storage"]["make_up_l_per_year"] * 4, rel=1e-3)


def test_a_month_that_the_record_lacks_is_unknown(making):
    record = making.record(making.wet_and_dry(1.05)[:366], first=date(2003, 7, 15))
    plain = answer(design(making.site(), record, today=TODAY))
    assert all(one["supplied_l"] is not None for one in plain["storage"]["months"])


def test_evenings_round_the_worst_spell(plain):
    level = plain["storage"]["levels"]
    # 200 L in the tank before the draw of 60 L; each summer is dry to the last drop
    assert max(level["highest_l"]) == pytest.approx(140.0)
    assert min(level["lowest_l"]) == 0.0
    assert len(level["highest_l"]) == len(level["lowest_l"]) == 48
    assert all(low <= high for low, high in zip(level["lowest_l"], level["highest_l"], strict=True))
    first = date.fromisoformat(level["closest_from"])
    worst = plain["storage"]["worst_short"]
    dry = (date.fromisoformat(worst["from"]) - first).days
    days = (date.fromisoformat(worst["to"]) - date.fromisoformat(worst["from"])).days + 1
    assert dry == 120
    assert len(level["closest_l"]) == 120 + days + 120
    # rain of the last short day is in the tank but not drawn before the next
    assert set(level["closest_l"][dry : dry + days - 1]) == {0.0}


def test_evenings_round_the_lowest_where_nothing_is_short(making):
    site = making.site(tanks=(making.tank(1000.0),), uses=(making.use(1.0),))
    plain = answer(design(site, making.record(rain((1, 2, 3, 4, 5, 6))), today=TODAY))
    level = plain["storage"]["levels"]
    assert plain["storage"]["worst_short"]["from"] is None
    assert min(level["closest_l"]) == pytest.approx(min(level["lowest_l"]), abs=0.05)
