"""Rain within the day: depths kept, donors of the season and kind, sharpness against storms."""

from dataclasses import dataclass, replace
from datetime import date

import numpy as np
import pytest

from eavewell.faults import BadRecord
from eavewell.site.rain_record import StepRain
from eavewell.site.storm import Storm
from eavewell.weather.anchor import Anchored, Maximum, most_mm
from eavewell.weather.climates import climate_record
from eavewell.weather.days import Days
from eavewell.weather.fragments import donor_days, pick_donors
from eavewell.weather.invented_storms import climate_storms
from eavewell.weather.within_day import rain_within_days, sharpened


@dataclass(frozen=True)
class OneStorm:
    """Storms of one intensity, whatever the duration and the return period."""

    mm_h: float

    def intensity(self, minutes, years):
        return self


class NoStorms:
    def intensity(self, minutes, years):
        return None


def days_of(rain_mm, first="2001-01-01"):
    dates = np.datetime64(first) + np.arange(len(rain_mm))
    return Days(dates, np.asarray(rain_mm, float), np.zeros(len(rain_mm)))


def hourly(depths, first="2001-01-01", minutes=60):
    """A record of one wet step a day, at hour 3, and a second one at hour 5 of half its depth."""
    dates = np.datetime64(first) + np.arange(len(depths))
    wet = np.flatnonzero(depths)
    starts = np.sort(
        np.concatenate(
            [dates[wet].astype("datetime64[m]") + np.timedelta64(hour, "h") for hour in (3, 5)]
        )
    )
    rain = np.repeat(np.asarray(depths, float)[wet], 2) * np.tile([2 / 3, 1 / 3], wet.size)
    return StepRain("made up", minutes, starts, rain, date(2001, 1, 1), date(2010, 12, 31))


@pytest.fixture(scope="module")
def invented():
    daily = climate_record("dry-uplands", 40)
    days = Days(daily.dates, daily.rain_mm, np.zeros(daily.days))
    return days, climate_storms("dry-uplands", 20)


def test_a_day_keeps_its_depth_and_a_dry_day_has_no_row(invented):
    days, donor = invented
    made = rain_within_days(days, donor=donor, storm=Storm(), storms=NoStorms())
    np.testing.assert_array_equal(made.rows, np.flatnonzero(days.rain_mm > 0))
    kept = made.steps_mm.sum(axis=1, dtype=float)
    np.testing.assert_allclose(kept, days.rain_mm[made.rows], rtol=1e-5)
    assert made.steps_mm.min() >= 0
    assert made.anchor is None
    assert not made.trusted


def test_it_is_seeded(invented):
    days, donor = invented
    one, two = (
        rain_within_days(days, donor=donor, storm=Storm(), storms=NoStorms()) for _ in range(2)
    )
    np.testing.assert_array_equal(one.steps_mm, two.steps_mm)


def test_no_donor_no_rain_within_the_day():
    days = days_of(np.ones(10))
    assert rain_within_days(days, donor=None, storm=Storm(), storms=NoStorms()) is None


def test_what_is_said_of_the_donor(invented):
    days, donor = invented
    made = rain_within_days(days, donor=donor, storm=Storm(), storms=NoStorms())
    assert "invented" in made.says
    measured = replace(donor, name="a gauge")
    storm = Storm(donor_name="the next valley", donor_km=12.0, donor_climate="dry summers")
    made = rain_within_days(days, donor=measured, storm=storm, storms=NoStorms())
    for words in ("the next valley", "12 km or 7 miles", "dry summers", "2006 to 2025"):
        assert words in made.says


def test_a_donor_cut_into_days():
    depths = np.zeros(3650)
    depths[::7] = np.linspace(1, 30, depths[::7].size)
    cut = donor_days(hourly(depths))
    assert cut.count == depths[::7].size
    np.testing.assert_allclose(cut.shares[:, 3], 2 / 3, rtol=1e-6)
    np.testing.assert_allclose(cut.shares[:, 5], 1 / 3, rtol=1e-6)
    np.testing.assert_allclose(cut.depth_mm, depths[::7])
    assert set(cut.neighbours) == {0}


def test_too_few_wet_days_and_odd_steps_are_refused():
    with pytest.raises(BadRecord, match="wet days"):
        donor_days(hourly(np.r_[np.ones(20), np.zeros(30)]))
    with pytest.raises(BadRecord, match="do not divide"):
        donor_days(hourly(np.ones(400), minutes=7))


def test_a_donor_of_the_season_and_of_the_same_neighbours():
    # ten years: alone in January, three in a row in July
    dates = np.arange("2001-01-01", "2011-01-01", dtype="datetime64[D]")
    month = dates.astype("datetime64[M]").astype(int) % 12 + 1
    dom = (dates - dates.astype("datetime64[M]").astype("datetime64[D]")).astype(int) + 1
    wet = ((month == 1) & np.isin(dom, [3, 8, 13, 18, 23])) | (
        (month == 7) & np.isin(dom, [3, 4, 5, 13, 14, 15, 23, 24, 25])
    )
    cut = donor_days(hourly(np.where(wet, 10.0, 0.0)))
    asked = np.array(["2005-01-20", "2005-07-14"], dtype="datetime64[D]")
    around = np.concatenate(
        [asked, asked[1:] + np.timedelta64(1, "D"), asked[1:] - np.timedelta64(1, "D")]
    )
    for seed in range(20):
        winter, summer = pick_donors(
            cut, asked, depth_mm=np.full(2, 10.0), wet_dates=around, seed=seed
        )
        assert cut.dates[winter].astype("datetime64[M]").astype(int) % 12 == 0
        assert cut.neighbours[winter] == 0
        assert cut.dates[summer].astype("datetime64[M]").astype(int) % 12 == 6
        assert cut.neighbours[summer] == 3


def test_the_donor_is_near_in_depth():
    # a hundred donors of 1 to 100 mm: sqrt(100) = 10 nearest, so none farther than 10 ranks away
    dates = np.arange("2001-06-01", "2001-06-30", dtype="datetime64[D]")
    many = np.concatenate([dates[::4] + np.timedelta64(365 * k, "D") for k in range(13)])[:100]
    depths = np.zeros(365 * 13 + 200)
    depths[(many - np.datetime64("2001-01-01")).astype(int)] = np.arange(1, 101)
    cut = donor_days(hourly(depths))
    asked = np.array(["2003-06-09"], dtype="datetime64[D]")
    picked = [
        pick_donors(cut, asked, depth_mm=np.array([40.0]), wet_dates=asked, seed=seed)[0]
        for seed in range(300)
    ]
    got = cut.depth_mm[picked]
    assert got.min() >= 33
    assert got.max() <= 47
    # weight 1/rank: the nearest has 1 / (1 + 1/2 + ... + 1/10) = 0.34 of the picks
    assert np.mean(got == 40) == pytest.approx(1 / sum(1 / r for r in range(1, 11)), abs=0.09)
    # far beyond the largest donor only the nearest lends
    (far,) = pick_donors(cut, asked, depth_mm=np.array([400.0]), wet_dates=asked, seed=1)
    assert cut.depth_mm[far] == pytest.approx(100)


def test_drawing_rain_together_keeps_the_day_and_raises_its_peak():
    steps = np.array([[1, 2, 3, 4], [5, 0, 0, 5]], dtype=np.float32)
    # shares 0.1 to 0.4 squared: 0.01, 0.04, 0.09, 0.16 of 0.30
    sharp = sharpened(steps, 2.0)
    np.testing.assert_allclose(sharp[0], 10 * np.array([1, 4, 9, 16]) / 30, rtol=1e-6)
    np.testing.assert_allclose(sharp[1], steps[1])
    np.testing.assert_allclose(sharp.sum(axis=1), steps.sum(axis=1), rtol=1e-6)


def test_the_greatest_of_each_year():
    steps = np.array([[1, 2, 3], [4, 0, 0], [0, 5, 5]], dtype=float)
    dates = np.array(["2001-01-01", "2001-06-01", "2003-01-01"], dtype="datetime64[D]")
    assert most_mm(steps, dates, steps=1).tolist() == [4, 5]
    assert most_mm(steps, dates, steps=2).tolist() == [5, 10]


def test_rain_as_sharp_as_the_site_is_trusted_and_flatter_rain_is_not(invented):
    days, donor = invented
    made = rain_within_days(days, donor=donor, storm=Storm(), storms=OneStorm(60.0))
    ours = {(m.minutes, m.years): m.made_mm_h for m in made.anchor.maxima}

    class Same:
        def intensity(self, minutes, years):
            return OneStorm(ours[minutes, years])

    class Sharper:
        def intensity(self, minutes, years):
            return OneStorm(1.5 * ours[minutes, years])

    assert rain_within_days(days, donor=donor, storm=Storm(), storms=Same()).trusted
    flat = rain_within_days(days, donor=donor, storm=Storm(), storms=Sharper())
    assert not flat.trusted
    # drawn together, its 2-year 5-minute rain is the site's
    assert flat.sharper.anchor.of(5, 2).ratio == pytest.approx(1.0, abs=0.02)


@pytest.mark.parametrize(("ratio", "hour", "agrees"), [(1.1, 0.9, True), (1.2, 0.9, False)])
def test_fifteen_per_cent_and_a_donor_hour_of_seven_tenths(ratio, hour, agrees):
    maxima = (Maximum(5, 2, 100.0 * ratio, 100.0), Maximum(60, 10, 50.0, 50.0))
    assert Anchored(maxima, hour).agrees is agrees
    assert Anchored(maxima, 0.6).agrees is False
