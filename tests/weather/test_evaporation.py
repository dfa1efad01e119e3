from datetime import date

import numpy as np
import pandas as pd
import pyet
import pytest
import refet

from eavewell.faults import OutOfRange
from eavewell.site.place import Place
from eavewell.site.rain_record import RainRecord
from eavewell.weather import air, sun
from eavewell.weather.evaporation import (
    et0_mm,
    et0_mm_hargreaves_fao56,
    et0_mm_monthly,
    et0_mm_penman_monteith_fao56,
)

DATES = np.arange("2019-01-01", "2021-01-01", dtype="datetime64[D]")
TWELVE = (1.0, 1.5, 2.5, 3.5, 4.5, 5.5, 6.0, 5.5, 4.0, 3.0, 1.5, 1.0)


@pytest.fixture(scope="module")
def weather():
    rng = np.random.default_rng(20)
    tmin = rng.uniform(-25.0, 28.0, DATES.size)
    tmax = tmin + rng.uniform(0.0, 22.0, DATES.size)
    return {
        "tmax": tmax,
        "tmin": tmin,
        "vapour": air.saturation_kpa(tmin) * rng.uniform(0.4, 1.0, DATES.size),
        "share": rng.uniform(0.1, 0.8, DATES.size),
        "wind": rng.uniform(0.0, 9.0, DATES.size),
    }


def penman(weather, *, latitude, elevation_m):
    above = sun.extraterrestrial_mj_m2(DATES, latitude=latitude)
    solar = weather["share"] * above
    lost = sun.net_longwave_mj_m2(
        solar,
        sun.clear_sky_mj_m2(above, elevation_m=elevation_m),
        tmax_c=weather["tmax"],
        tmin_c=weather["tmin"],
        vapour_kpa=weather["vapour"],
    )
    et0 = et0_mm_penman_monteith_fao56(
        weather["tmax"],
        weather["tmin"],
        net_radiation_mj_m2=sun.net_radiation_mj_m2(solar, lost),
        vapour_kpa=weather["vapour"],
        wind_2m_m_s=air.wind_2m_m_s(weather["wind"], 10.0),
        pressure_kpa=air.air_pressure_kpa(elevation_m),
    )
    return et0, solar


@pytest.mark.parametrize("latitude", [-60.0, -33.0, 0.0, 18.0, 30.9, 47.0, 62.0])
def test_penman_monteith_agrees_with_refet(weather, latitude):
    ours, solar = penman(weather, latitude=latitude, elevation_m=450.0)
    theirs = refet.Daily(
        tmin=weather["tmin"],
        tmax=weather["tmax"],
        ea=weather["vapour"],
        rs=solar,
        uz=weather["wind"],
        zw=10.0,
        elev=450.0,
        lat=latitude,
        doy=sun.day_of_year(DATES),
        method="asce",
    ).eto()
    # ASCE 2005 has Stefan-Boltzmann 4.901e-9, FAO-56 4.903e-9: up to 0.004 MJ, 0.0016 mm a day.
    assert ours == pytest.approx(np.maximum(theirs, 0.0), abs=2e-3)


@pytest.mark.parametrize("latitude", [-60.0, -33.0, 0.0, 18.0, 30.9, 47.0, 62.0])
def test_penman_monteith_agrees_with_pyet(weather, latitude):
    ours, solar = penman(weather, latitude=latitude, elevation_m=1450.0)
    series = {name: pd.Series(values, index=DATES) for name, values in weather.items()}
    theirs = pyet.pm_fao56(
        (series["tmax"] + series["tmin"]) / 2.0,
        pd.Series(air.wind_2m_m_s(weather["wind"], 10.0), index=DATES),
        rs=pd.Series(solar, index=DATES),
        tmax=series["tmax"],
        tmin=series["tmin"],
        ea=series["vapour"],
        elevation=1450.0,
        lat=np.radians(latitude),
    )
    assert ours == pytest.approx(theirs.to_numpy(), rel=2e-3, abs=2e-3)


@pytest.mark.parametrize("latitude", [-60.0, -20.0, 0.0, 30.9, 60.0])
def test_hargreaves_agrees_with_pyet(weather, latitude):
    tmean = pd.Series((weather["tmax"] + weather["tmin"]) / 2.0, index=DATES)
    theirs = pyet.hargreaves(
        tmean,
        pd.Series(weather["tmax"], index=DATES),
        pd.Series(weather["tmin"], index=DATES),
        np.radians(latitude),
    )
    ours = et0_mm_hargreaves_fao56(weather["tmax"], weather["tmin"], dates=DATES, latitude=latitude)
    # pyet lets the latent heat follow temperature, 2.501 - 0.002361 t; FAO-56 eq. 52 holds 1/0.408.
    heat = (2.501 - 0.002361 * tmean.to_numpy()) * 0.408
    assert ours == pytest.approx(theirs.to_numpy() * heat, rel=2e-3, abs=1e-3)


def test_polar_night_and_day():
    midwinter, midsummer = np.array(["2019-12-21"], "M8[D]"), np.array(["2019-06-21"], "M8[D]")
    assert sun.extraterrestrial_mj_m2(midwinter, latitude=80.0) == 0.0
    assert sun.daylight_hours(midsummer, latitude=80.0) == pytest.approx(24.0)
    assert sun.solar_mj_m2_from_sunshine(0.0, midwinter, latitude=80.0) == 0.0


def test_day_of_year_in_a_leap_year():
    when = np.array(["2020-01-01", "2020-03-01", "2020-12-31", "2019-12-31"], dtype="M8[D]")
    assert sun.day_of_year(when).tolist() == [1, 61, 366, 365]


def test_monthly_table():
    depth_mm = et0_mm_monthly(DATES, TWELVE)
    assert depth_mm[0] == 1.0
    assert depth_mm[np.flatnonzero(np.datetime64("2020-07-15") == DATES)] == 6.0
    with pytest.raises(OutOfRange, match="12 values, not 3"):
        et0_mm_monthly(DATES, (1.0, 2.0, 3.0))
    with pytest.raises(OutOfRange, match="-1 mm/day"):
        et0_mm_monthly(DATES, (-1.0, *TWELVE[1:]))


@pytest.mark.parametrize("latitude", [200.0, -90.5])
def test_latitude_off_the_map_is_refused(latitude):
    with pytest.raises(OutOfRange, match=r"latitude .* -90 to 90 degrees"):
        et0_mm_hargreaves_fao56(20.0, 10.0, dates=DATES, latitude=latitude)


def test_all_faults_at_once():
    with pytest.raises(OutOfRange) as caught:
        et0_mm_hargreaves_fao56(70.0, 75.0, dates=DATES, latitude=30.0)
    assert len(caught.value.faults) == 3
    assert "columns exchanged" in str(caught.value)


def test_humidity_wind_and_height_out_of_range():
    with pytest.raises(OutOfRange, match=r"humidity 120 %"):
        air.vapour_kpa_from_highest_humidity(10.0, 120.0)
    with pytest.raises(OutOfRange, match="wind -1 m/s"):
        air.wind_2m_m_s(-1.0, 10.0)
    with pytest.raises(OutOfRange, match="gauge 0 m"):
        air.wind_2m_m_s(1.0, 0.0)


def record(tmax=None, tmin=None, latitude=30.9):
    days = DATES.size
    return RainRecord(
        "invented",
        date(2019, 1, 1),
        np.zeros(days),
        np.zeros(days, dtype=np.uint16),
        tmax_c=tmax,
        tmin_c=tmin,
        latitude=latitude,
        invented=True,
    )


def test_hargreaves_where_temperatures_and_latitude_are_known(weather):
    given = record(weather["tmax"], weather["tmin"])
    found = et0_mm(given, Place(latitude=40.0), monthly=TWELVE)
    expected = et0_mm_hargreaves_fao56(weather["tmax"], weather["tmin"], dates=DATES, latitude=40.0)
    assert found.method == "hargreaves"
    assert np.array_equal(found.et0_mm, expected)
    assert et0_mm(given, Place()).method == "hargreaves"  # the gauge's own latitude


def test_missing_and_crossed_temperatures_take_their_season(weather):
    tmax, tmin = np.full(DATES.size, 20.0), np.full(DATES.size, 10.0)
    tmax[5] = np.nan
    tmin[9] = 30.0
    found = et0_mm(record(tmax, tmin), Place())
    expected = et0_mm_hargreaves_fao56(20.0, 10.0, dates=DATES, latitude=30.9)
    assert found.et0_mm == pytest.approx(expected)
    assert "0.3%" in found.says  # 2 of 731 days


def test_monthly_then_unknown():
    found = et0_mm(record(), Place(), monthly=TWELVE)
    assert found.method == "monthly"
    assert np.array_equal(found.et0_mm, et0_mm_monthly(DATES, TWELVE))
    unknown = et0_mm(record(), Place())
    assert unknown.method == "unknown"
    assert not unknown.et0_mm.any()
    assert "unknown" in unknown.says


def test_a_month_without_temperatures_is_not_guessed(weather):
    tmax = np.where(DATES.astype("M8[M]").astype(int) % 12 == 6, np.nan, weather["tmax"])
    assert et0_mm(record(tmax, weather["tmin"]), Place()).method == "unknown"
