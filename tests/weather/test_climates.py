from datetime import date

import numpy as np
import pytest

from eavewell.faults import BadSite, OutOfRange
from eavewell.site.place import Place
from eavewell.tables import rows
from eavewell.weather.climates import climate_names, climate_record
from eavewell.weather.evaporation import et0_mm
from eavewell.weather.temperature import month_of

NAMES = ("dry-uplands", "green-lowlands", "dry-summer-coast")


@pytest.fixture(scope="module", params=NAMES)
def long(request):
    return request.param, climate_record(request.param, 400, seed=3)


def yearly(record):
    year = record.dates.astype("M8[Y]").astype(int)
    return np.bincount(year - year[0], weights=record.rain_mm)


def table(name, column):
    return np.array([float(row[column]) for row in rows(f"climates/{name}")])


def test_three_climates_all_named_invented():
    assert climate_names() == NAMES
    for name in NAMES:
        record = climate_record(name, 2)
        assert record.invented
        assert "invented" in record.name
        assert "no gauge" in record.notes[0]
        assert {row["source"] for row in rows(f"climates/{name}")} == {"invented"}


def test_sixty_whole_years_in_the_past_without_gaps():
    record = climate_record("dry-uplands")
    assert record.first_day == date(1966, 1, 1)
    assert record.last_day == date(2025, 12, 31)
    assert not record.missing.any()
    assert record.rain_mm.shape == record.marks.shape == record.tmax_c.shape
    assert (record.tmin_c < record.tmax_c).all()
    assert et0_mm(record, Place()).method == "hargreaves"


def test_the_mean_year_is_the_table_s(long):
    name, record = long
    sums = yearly(record)
    carry = {row["climate"]: float(row["wetness_carry"]) for row in rows("climates/climates")}[name]
    # Years hang together: their mean varies (1 + carry) / (1 - carry) times as much.
    error = sums.std() / 20 * np.sqrt((1 + carry) / (1 - carry))
    # A very wet year cannot have more than every day wet: up to 1 % is cut off.
    expected = table(name, "depth_mm").sum()
    assert sums.mean() == pytest.approx(expected, abs=4 * error + 0.01 * expected)


def test_temperatures_follow_the_table(long):
    name, record = long
    months = month_of(record.dates)
    for column, values in (("tmax_c", record.tmax_c), ("tmin_c", record.tmin_c)):
        means = np.array([values[months == month].mean() for month in range(1, 13)])
        # The straight line between mid-months cuts the peaks by up to half a degree.
        assert means == pytest.approx(table(name, column), abs=1.0)


def test_wet_days_are_cooler(long):
    _, record = long
    wet = (record.rain_mm > 0) & (month_of(record.dates) == 3)
    dry = (record.rain_mm == 0) & (month_of(record.dates) == 3)
    assert record.tmax_c[wet].mean() < record.tmax_c[dry].mean() - 1.5


def test_droughts_last_several_years():
    # Years carry wetness: sums of neighbouring years correlate, and the driest three years in
    # 400 lie below the driest three of the same years shuffled (the middle of 200 shuffles).
    sums = yearly(climate_record("dry-uplands", 400, seed=3))
    assert np.corrcoef(sums[:-1], sums[1:])[0, 1] > 4 / np.sqrt(400)
    rng = np.random.default_rng(0)
    three = np.ones(3)
    shuffled = [np.convolve(rng.permutation(sums), three, "valid").min() for _ in range(200)]
    assert np.convolve(sums, three, "valid").min() < np.median(shuffled)


def test_the_seasons_are_as_their_names_say():
    uplands, lowlands, coast = (table(name, "depth_mm") for name in NAMES)
    peaks = [m for m in range(12) if uplands[m] == max(uplands[m - 1 : m + 2], default=0.0)]
    assert {peak + 1 for peak in peaks} >= {5, 10}  # May and October, dry July between
    assert uplands[6] < min(uplands[4], uplands[9]) / 2
    assert lowlands.min() > lowlands.max() / 2
    assert coast[5:8].sum() < 0.02 * coast.sum()


def test_the_seed_repeats_the_record():
    first, again, other = (climate_record("dry-uplands", 3, seed=seed) for seed in (5, 5, 6))
    assert np.array_equal(first.rain_mm, again.rain_mm)
    assert np.array_equal(first.tmin_c, again.tmin_c)
    assert not np.array_equal(first.rain_mm, other.rain_mm)


def test_an_unknown_climate_lists_the_three():
    with pytest.raises(BadSite, match="dry-uplands, green-lowlands, dry-summer-coast"):
        climate_record("moon")
    with pytest.raises(OutOfRange, match="0 years"):
        climate_record("dry-uplands", 0)
