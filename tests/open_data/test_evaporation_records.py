"""Evaporation on real weather against pyet: a reference-network station, a typical-year file."""

import csv
import gzip
import os
from pathlib import Path

import numpy as np
import pandas as pd
import pyet
import pytest

from eavewell.weather import air, sun
from eavewell.weather.evaporation import et0_mm_hargreaves_fao56, et0_mm_penman_monteith_fao56

DATA = Path(os.environ.get("EAVEWELL_SHARED_DATA", Path(__file__).parents[3] / "shared" / "data"))
STATION = DATA / "weather" / "KS_Manhattan_uscrn_daily.csv.gz"
TYPICAL = DATA / "weather" / "TX-Austin_Mueller.tmy3.gz"


def lines(file):
    if not file.is_file():
        pytest.skip(f"shared data absent: {file.name}")
    return gzip.open(file, "rt", encoding="utf-8")


def test_hargreaves_at_a_reference_station():
    with lines(STATION) as text:
        rows = list(csv.DictReader(text))
    tmax, tmin = (
        np.array([float(row[f"T_DAILY_{end}"]) for row in rows]) for end in ("MAX", "MIN")
    )
    dates = pd.to_datetime([row["LST_DATE"] for row in rows])
    good = (tmin > -60.0) & (tmax >= tmin)  # -9999 is missing
    tmax, tmin, dates = tmax[good], tmin[good], dates[good]
    ours = et0_mm_hargreaves_fao56(
        tmax, tmin, dates=dates.to_numpy().astype("datetime64[D]"), latitude=39.1
    )
    mean, warmest, coldest = (
        pd.Series(values, index=dates) for values in ((tmax + tmin) / 2, tmax, tmin)
    )
    theirs = pyet.hargreaves(mean, warmest, coldest, np.radians(39.1)).to_numpy()
    heat = (2.501 - 0.002361 * mean.to_numpy()) * 0.408  # FAO-56 holds the latent heat at 1/0.408
    assert ours == pytest.approx(theirs * heat, rel=3e-3, abs=2e-3)
    assert ours.size > 5000
    assert 2.0 < ours.mean() < 5.0


def test_penman_monteith_on_a_typical_year():
    with lines(TYPICAL) as text:
        next(text)  # the station; its rain column is never read
        hours = pd.read_csv(text, usecols=lambda name: name.split(" (")[0] in WANTED)
    hours.columns = [name.split(" (")[0] for name in hours.columns]
    days = hours.groupby(np.arange(len(hours)) // 24)
    tmax, tmin = days["Dry-bulb"].max().to_numpy(), days["Dry-bulb"].min().to_numpy()
    vapour = air.vapour_kpa_from_dew_point(days["Dew-point"].mean().to_numpy())
    solar = days["GHI"].sum().to_numpy() * 0.0036  # Wh to MJ
    dates = np.datetime64("2019-01-01") + np.arange(tmax.size)
    wind = air.wind_2m_m_s(days["Wspd"].mean().to_numpy(), 10.0)
    above = sun.extraterrestrial_mj_m2(dates, latitude=30.29)
    clear = sun.clear_sky_mj_m2(above, elevation_m=213.0)
    lost = sun.net_longwave_mj_m2(solar, clear, tmax_c=tmax, tmin_c=tmin, vapour_kpa=vapour)
    ours = et0_mm_penman_monteith_fao56(
        tmax,
        tmin,
        net_radiation_mj_m2=sun.net_radiation_mj_m2(solar, lost),
        vapour_kpa=vapour,
        wind_2m_m_s=wind,
        pressure_kpa=air.air_pressure_kpa(213.0),
    )
    series = {
        name: pd.Series(values, index=pd.DatetimeIndex(dates))
        for name, values in {"rs": solar, "tmax": tmax, "tmin": tmin, "ea": vapour}.items()
    }
    theirs = pyet.pm_fao56(
        (series["tmax"] + series["tmin"]) / 2,
        pd.Series(wind, index=pd.DatetimeIndex(dates)),
        elevation=213.0,
        lat=np.radians(30.29),
        **series,
    ).to_numpy()
    assert ours == pytest.approx(theirs, rel=3e-3, abs=3e-3)
    assert ours.size == 365
    assert 1000.0 < ours.sum() < 2000.0


WANTED = {"GHI", "Dry-bulb", "Dew-point", "Wspd"}
