"""Design storms: which basis, with which range, and never beyond what it knows."""

import math

import numpy as np
import pytest

from eavewell.faults import BadRecord, BadSite
from eavewell.files.rain.storm_table import read_storm_table
from eavewell.site.storm import Storm
from eavewell.weather.design_storm import cities, site_storms, storm_for
from eavewell.weather.extremes import fit_gev_hosking, l_moments_hosking

# An invented table in the layout of the national server.
INVENTED = """Point precipitation frequency estimates ({unit})
Invented table
Data type: Precipitation {kind}
Time series type: {series}
Location name (ESRI Maps): Quailwater (invented)
Latitude: 30.9 Degree
Longitude: -98.4 Degree

PRECIPITATION FREQUENCY ESTIMATES
by duration for ARI (years):, 1,10,100
5-min:, {five}
60-min:, {hour}
24-hr:, {day}

Date/time (GMT):  never
"""
DEPTHS = {"five": "0.4,0.7,1.0", "hour": "1.2,2.1,3.0", "day": "2.4,5.0,8.0"}


def table_of(tmp_path, *, unit="inches", kind="depth", series="Partial duration", **rows):
    file = tmp_path / "storms.csv"
    text = INVENTED.format(unit=unit, kind=kind, series=series, **(DEPTHS | rows))
    file.write_bytes(text.replace("Degree", "\xb0").encode("latin-1"))
    return read_storm_table(file)


def test_a_row_of_the_table_is_met_exactly_and_said(tmp_path):
    storms = site_storms(Storm(), None, table=table_of(tmp_path))
    rain = storms.intensity(5, 10)
    assert rain.mm_h == pytest.approx(0.7 * 25.4 * 12)
    assert "Quailwater (invented)" in rain.says
    assert rain.says.startswith("10-year 5-minute rain")


def test_between_rows_it_runs_straight_in_logarithms(tmp_path):
    storms = site_storms(Storm(), None, table=table_of(tmp_path))
    # half way between 1 and 10 years by logarithm: sqrt(0.4 x 0.7) inches
    found = storms.intensity(5, math.sqrt(10))
    assert found.mm_h == pytest.approx(math.sqrt(0.4 * 0.7) * 25.4 * 12)


def test_intensities_in_mm_and_depths_in_inches_are_one_table(tmp_path):
    as_depth = table_of(tmp_path)
    # the same storms: depth x 25.4 x 60 / minutes
    as_rate = table_of(
        tmp_path,
        unit="millimeters/hour",
        kind="intensity",
        five="121.92,213.36,304.8",
        hour="30.48,53.34,76.2",
        day="2.54,5.291667,8.466667",
    )
    np.testing.assert_allclose(as_rate.depth_mm, as_depth.depth_mm, rtol=1e-6)
    assert not table_of(tmp_path, series="Annual maximum").partial


def test_nothing_is_said_beyond_the_table(tmp_path):
    storms = site_storms(Storm(), None, table=table_of(tmp_path))
    for minutes, years in ((4, 10), (1441, 10), (5, 0.5), (5, 200)):
        assert storms.intensity(minutes, years) is None


def test_the_return_period_of_an_intensity_is_the_way_back(tmp_path):
    storms = site_storms(Storm(), None, table=table_of(tmp_path))
    for years in (1, 3, 10, 60, 100):
        rain = storms.intensity(5, years)
        assert storms.years_of(5, rain.mm_h) == pytest.approx(years, rel=1e-6)
    assert storms.years_of(5, 1.0) is None
    assert storms.years_of(5, 1e4) == math.inf


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        ({"five": "0.4,0.7"}, "2 values under 3 return periods"),
        ({"hour": "1.2,many,3.0"}, "something else than numbers"),
        ({"five": "0.7,0.4,1.0"}, "must rise"),
        ({"hour": "0.1,0.2,0.3"}, "must rise"),
    ],
)
def test_a_table_that_cannot_be_true_is_refused(tmp_path, rows, says):
    with pytest.raises(BadRecord, match=says):
        table_of(tmp_path, **rows)


def test_another_file_is_refused_in_a_sentence(tmp_path):
    with pytest.raises(BadRecord, match="no table of storms here"):
        read_storm_table(tmp_path / "missing.csv")
    other = tmp_path / "other.csv"
    other.write_text("date,rain_mm\n2001-01-01,3\n", encoding="utf-8")
    with pytest.raises(BadRecord, match="This is no table of storms"):
        read_storm_table(other)


def test_a_city_by_its_published_hour(making):
    storms = site_storms(Storm(city="Miami, FL"), None, table=None)
    hour = storms.intensity(60, 100)
    assert hour.mm_h == hour.low_mm_h == hour.high_mm_h == pytest.approx(4.7 * 25.4)
    five = storms.intensity(5, 100)
    # older national set: 0.29 of the hour in five minutes, from memory
    assert five.mm_h == pytest.approx(4.7 * 25.4 * 0.29 * 12)
    assert five.low_mm_h < five.mm_h < five.high_mm_h
    assert "ratios" in five.says
    assert storms.intensity(120, 100) is None
    assert len(cities()) == 19


def test_an_unknown_city_is_a_sentence():
    with pytest.raises(BadSite, match="no city 'Atlantis'"):
        site_storms(Storm(city="Atlantis"), None, table=None)


def test_the_record_itself_with_gumbel_beside_it(making):
    record = making.record(making.wet_and_dry(40))
    storms = site_storms(Storm(), record, table=None)
    day = storms.intensity(1440, 50)
    years = record.dates.astype("datetime64[Y]")
    most = np.array([record.rain_mm[years == year].max() for year in np.unique(years)[:40]])
    fitted = fit_gev_hosking(l_moments_hosking(most))
    # one reading a day catches less than the greatest 24 hours: 1.13 times, from memory
    assert day.mm_h * 24 == pytest.approx(1.13 * float(fitted.depth_mm(50)), rel=0.02)
    assert storms.intensity(60, 10).low_mm_h < storms.intensity(60, 10).high_mm_h
    assert storms.kind == "record"
    # twice the length of the record is as far as it is asked
    assert storms.intensity(60, 100) is None or record.days > 50 * 365
    assert storms.intensity(120, 10) is None


def test_a_short_record_knows_no_rare_rain(making):
    storms = site_storms(Storm(), making.record(making.wet_and_dry(5)), table=None)
    assert storms.kind == "unknown"
    assert storms.intensity(60, 10) is None
    assert storms.years_of(60, 30) is None
    assert "full years" in storms.says


def test_intensity_rises_with_rarity_and_falls_with_duration(making):
    for storms in (
        site_storms(Storm(city="Miami, FL"), None, table=None),
        site_storms(Storm(), making.record(making.wet_and_dry(60)), table=None),
    ):
        by_years = [storms.intensity(15, years).mm_h for years in (2, 5, 10, 25, 50, 100)]
        by_minutes = [storms.intensity(minutes, 10).mm_h for minutes in (5, 10, 15, 30, 60)]
        assert by_years == sorted(by_years)
        assert by_minutes == sorted(by_minutes, reverse=True)


@pytest.mark.parametrize(
    ("purpose", "years", "minutes"),
    # NRCS 558: 10-year 5-minute, 25-year where kept from manure; model plumbing code: 100-year hour
    [("gutter", 10, 5), ("gutter kept from manure", 25, 5), ("plumbing code", 100, 60)],
)
def test_the_storm_of_a_purpose(purpose, years, minutes):
    asked = storm_for(purpose)
    assert (asked.years, asked.minutes) == (years, minutes)
    assert asked.source
    assert asked.place
